//! A small strict reader of the HTML that our pages write: every element is closed in its order, but
//! for the void elements; attributes are quoted, each named once. Stricter than the standard, which
//! lets some end tags be left out.

/// The elements that have no end (HTML standard, 13.1.2 "Void elements").
const VOID: [&str; 13] = [
    "area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track",
    "wbr",
];

#[derive(Debug, Clone)]
pub struct Element {
    pub name: String,
    pub attributes: Vec<(String, String)>,
    /// The names of its child elements.
    pub children: Vec<String>,
}

impl Element {
    pub fn attribute(&self, name: &str) -> Option<&str> {
        let found = self.attributes.iter().find(|(n, _)| n == name);
        found.map(|(_, value)| value.as_str())
    }

    /// Whether it carries code (`onclick` and the like).
    pub fn has_handler(&self) -> bool {
        self.attributes.iter().any(|(n, _)| n.starts_with("on"))
    }
}

/// Every element in the order of its start, or what is wrong with the text.
pub fn elements(html: &str) -> Result<Vec<Element>, String> {
    let mut rest = html
        .strip_prefix("<!DOCTYPE html>")
        .ok_or("it does not begin with its document type")?;
    let mut found: Vec<Element> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    while let Some(at) = rest.find('<') {
        text(&rest[..at])?;
        rest = &rest[at..];
        let end = rest.find('>').ok_or("a tag without end")?;
        let tag = &rest[1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let top = open.pop().ok_or(format!("</{name}> closes nothing"))?;
            if found[top].name != name {
                return Err(format!("<{}> is closed by </{name}>", found[top].name));
            }
            continue;
        }
        let closed = tag.ends_with('/');
        let element = start(tag.trim_end_matches('/'))?;
        if let Some(parent) = open.last() {
            let name = element.name.clone();
            found[*parent].children.push(name);
        }
        let name = element.name.clone();
        found.push(element);
        if closed || VOID.contains(&name.as_str()) {
            continue;
        }
        if name == "style" {
            let end = rest.find("</style>").ok_or("a style without end")?;
            rest = &rest[end + "</style>".len()..];
            continue;
        }
        open.push(found.len() - 1);
    }
    text(rest)?;
    match open.last() {
        Some(top) => Err(format!("<{}> is never closed", found[*top].name)),
        None => Ok(found),
    }
}

/// An ampersand begins a character reference and nothing else.
fn text(text: &str) -> Result<(), String> {
    for part in text.split('&').skip(1) {
        let known = ["amp;", "lt;", "gt;", "quot;", "#39;"];
        if !known.iter().any(|k| part.starts_with(k)) {
            return Err(format!("a bare & before \"{part:.20}\""));
        }
    }
    if text.contains('>') {
        return Err(format!("a bare > in \"{text:.40}\""));
    }
    Ok(())
}

fn start(tag: &str) -> Result<Element, String> {
    let (name, mut rest) = tag.split_once(' ').unwrap_or((tag, ""));
    let plain = |n: &str| {
        !n.is_empty()
            && n.chars()
                .all(|c| c.is_ascii_alphanumeric() || "-:".contains(c))
    };
    if !plain(name) {
        return Err(format!("<{tag:.40}> has no proper name"));
    }
    let mut attributes: Vec<(String, String)> = Vec::new();
    while !rest.trim().is_empty() {
        rest = rest.trim_start();
        let end = rest.find(['=', ' ']).unwrap_or(rest.len());
        let key = rest[..end].to_string();
        rest = &rest[end..];
        let value = match rest.strip_prefix("=\"") {
            Some(after) => {
                let end = after
                    .find('"')
                    .ok_or(format!("{key} has no end in <{name}>"))?;
                text(&after[..end])?;
                rest = &after[end + 1..];
                after[..end].to_string()
            }
            None => String::new(),
        };
        if !plain(&key) || attributes.iter().any(|(k, _)| *k == key) {
            return Err(format!(
                "<{name}> has the attribute \"{key:.40}\" wrong or twice"
            ));
        }
        attributes.push((key, value));
    }
    Ok(Element {
        name: name.to_string(),
        attributes,
        children: Vec::new(),
    })
}
