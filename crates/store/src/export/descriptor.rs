//! `datapackage.json`: what is in the package, for programs and people.
//!
//! Data Package standard, version 2.0 (datapackage.org), with the properties of version 1 that its
//! readers still look for (`profile`).

use super::{PACKAGE_SCHEMA, PackageError};
use serde_json::{Value, json};
use trial::tables::{Column, ColumnKind};

/// Size and hash of a file.
pub(super) struct FileLine {
    pub(super) bytes: u64,
    pub(super) sha256: String,
}

/// How many of each the package holds.
pub(super) struct Counts {
    pub(super) entries: u64,
    pub(super) revisions: u64,
    pub(super) pictures: u64,
}

/// One file of the package as the descriptor lists it.
pub(super) struct Resource(Value);

impl Resource {
    /// A table `data/NAME.csv`.
    pub(super) fn table(name: &str, about: &str, columns: &[Column], file: FileLine) -> Resource {
        let fields: Vec<Value> = columns.iter().map(field).collect();
        Resource(json!({
            // The standard's names have no underscores in all versions; paths keep them.
            "name": name.replace('_', "-"),
            "type": "table",
            "profile": "tabular-data-resource",
            "path": format!("data/{name}.csv"),
            "description": about,
            "format": "csv",
            "mediatype": "text/csv",
            "encoding": "utf-8",
            "bytes": file.bytes,
            "hash": format!("sha256:{}", file.sha256),
            "schema": { "fields": fields, "missingValues": [""] },
        }))
    }

    /// A picture.
    pub(super) fn picture(path: &str, sha256: &str, file: FileLine) -> Resource {
        let format = path.rsplit('.').next().unwrap_or_default();
        let media_type = crate::MEDIA_TYPES
            .iter()
            .find(|(_, extension)| *extension == format)
            .map_or("application/octet-stream", |(media_type, _)| *media_type);
        Resource(json!({
            "name": format!("picture-{sha256}"),
            "path": path,
            "format": format,
            "mediatype": media_type,
            "bytes": file.bytes,
            "hash": format!("sha256:{}", file.sha256),
        }))
    }
}

fn field(column: &Column) -> Value {
    let kind = match column.kind {
        ColumnKind::Text | ColumnKind::Word => "string",
        ColumnKind::Number => "number",
        ColumnKind::Count => "integer",
        ColumnKind::YesNo => "boolean",
        ColumnKind::Date => "date",
        ColumnKind::Time => "time",
        ColumnKind::DateTime => "datetime",
    };
    let mut field = json!({
        "name": column.name,
        "type": kind,
        "description": column.about,
    });
    if let Some(map) = field.as_object_mut() {
        if !column.unit.is_empty() {
            map.insert("unit".into(), column.unit.into());
        }
        if column.kind == ColumnKind::DateTime {
            // ISO 8601 with an offset, which the standard's default format leaves no room for.
            map.insert("format".into(), "any".into());
        }
    }
    field
}

/// The text of `datapackage.json`. No licence is named: that is the keeper's to choose.
pub(super) fn descriptor(counts: &Counts, resources: &[Resource]) -> Result<String, PackageError> {
    let resources: Vec<&Value> = resources.iter().map(|r| &r.0).collect();
    let package = json!({
        "$schema": "https://datapackage.org/profiles/2.0/datapackage.json",
        "profile": "data-package",
        "name": "fairtank-notebook",
        "title": "A Fairtank notebook",
        "description": "Side-by-side trials of planted tanks: what was set up, done and seen. \
                        README.txt says where to begin.",
        "fairtank": {
            "schema": PACKAGE_SCHEMA,
            "entries": counts.entries,
            "revisions": counts.revisions,
            "pictures": counts.pictures,
        },
        "resources": resources,
    });
    serde_json::to_string_pretty(&package)
        .map(|text| text + "\n")
        .map_err(|e| PackageError::Descriptor(e.to_string()))
}
