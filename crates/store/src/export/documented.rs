//! `docs/tables.md` lists every table and column as they are.

use super::lossless;
use std::fmt::Write;
use trial::tables::setup::SETUP_TABLES;
use trial::tables::{Column, ColumnKind, ENTRY_TABLES};

const BEGIN: &str = "<!-- the tables, as `cargo test -p store documented` checks them -->\n";

fn kind(column: &Column) -> &'static str {
    match column.kind {
        ColumnKind::Text => "text",
        ColumnKind::Word => "word",
        ColumnKind::Number => "number",
        ColumnKind::Count => "whole number",
        ColumnKind::YesNo => "true or false",
        ColumnKind::Date => "date",
        ColumnKind::Time => "time",
        ColumnKind::DateTime => "date and time",
    }
}

fn table(out: &mut String, name: &str, about: &str, columns: &[Column]) {
    let _ = write!(
        out,
        "\n### {name}.csv\n\n{about}.\n\n| column | holds | unit | says |\n|---|---|---|---|\n"
    );
    for c in columns {
        let _ = writeln!(
            out,
            "| `{}` | {} | {} | {} |",
            c.name,
            kind(c),
            c.unit,
            c.about
        );
    }
}

fn tables() -> String {
    let mut out = BEGIN.to_string();
    out.push_str("\n## What was done and seen\n");
    for t in ENTRY_TABLES {
        let read = if t.is_read() {
            ". `fairtank import` reads it"
        } else {
            ""
        };
        table(
            &mut out,
            t.name,
            &format!("{}{read}", t.about),
            &t.columns(),
        );
    }
    out.push_str("\n## What was set up\n");
    for t in SETUP_TABLES {
        table(&mut out, t.name, t.about, &t.columns());
    }
    out.push_str("\n## What a notebook is restored from\n");
    table(
        &mut out,
        lossless::ENTRIES,
        lossless::ENTRIES_ABOUT,
        &lossless::ENTRY_COLUMNS,
    );
    table(
        &mut out,
        lossless::REVISIONS,
        lossless::REVISIONS_ABOUT,
        &lossless::REVISION_COLUMNS,
    );
    out
}

#[test]
fn every_table_and_column_is_documented() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/tables.md");
    let text = std::fs::read_to_string(path).unwrap();
    let (before, listed) = text.split_once(BEGIN).unwrap();
    let expected = tables();
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(path, format!("{before}{expected}")).unwrap();
        return;
    }
    assert!(
        format!("{BEGIN}{listed}") == expected,
        "docs/tables.md is not as the tables are; run this test with UPDATE_GOLDEN=1"
    );
}
