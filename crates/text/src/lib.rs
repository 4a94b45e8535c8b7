//! Everything a person reads, by key, one file per feature word in one folder per language.
//!
//! ```text
//! # en/bench.txt
//! title = Bench
//! tanks = {n} {n:tank|tanks}
//! ```
//! is `t!("bench.title")` and `t!("bench.tanks", n = 4)`. A line that starts with a space continues
//! the one before. `{n}` is replaced, `{n:one|other}` chooses by the number in `n`. A test finds
//! every `t!` of the workspace and checks that its key exists.

use std::collections::HashMap;
use std::sync::OnceLock;

/// The English files; a translation adds one such list.
const ENGLISH: &[(&str, &str)] = &include!("english.rs");

/// The text of `key` in English, or the key itself when there is none (a test keeps that from
/// happening).
pub fn raw(key: &str) -> &str {
    static TABLE: OnceLock<HashMap<String, String>> = OnceLock::new();
    let table = TABLE.get_or_init(|| read(ENGLISH));
    table.get(key).map_or(key, String::as_str)
}

/// Whether there is a text of this key.
pub fn has(key: &str) -> bool {
    raw(key) != key
}

/// The text of `key` with its `{names}` filled in.
pub fn fill(key: &str, values: &[(&str, String)]) -> String {
    let mut out = String::new();
    let mut rest = raw(key);
    while let Some(start) = rest.find('{') {
        let Some(length) = rest[start..].find('}') else {
            break;
        };
        out.push_str(&rest[..start]);
        out.push_str(&placeholder(&rest[start + 1..start + length], values));
        rest = &rest[start + length + 1..];
    }
    out.push_str(rest);
    out
}

fn placeholder(inside: &str, values: &[(&str, String)]) -> String {
    let (name, forms) = inside
        .split_once(':')
        .map_or((inside, None), |(n, f)| (n, Some(f)));
    let Some((_, value)) = values.iter().find(|(n, _)| *n == name) else {
        return format!("{{{inside}}}");
    };
    match forms.and_then(|f| f.split_once('|')) {
        Some((one, _)) if value == "1" => one.to_string(),
        Some((_, other)) => other.to_string(),
        None => value.clone(),
    }
}

fn read(files: &[(&str, &str)]) -> HashMap<String, String> {
    let mut table = HashMap::new();
    for (word, content) in files {
        let mut last: Option<String> = None;
        for line in content.lines() {
            if line.trim().is_empty() || line.starts_with('#') {
                continue;
            }
            match (
                line.starts_with(' '),
                last.as_ref().and_then(|k| table.get_mut(k)),
            ) {
                (true, Some(text)) => {
                    let text: &mut String = text;
                    text.push(' ');
                    text.push_str(line.trim());
                }
                _ => {
                    if let Some((key, text)) = line.split_once('=') {
                        let key = format!("{word}.{}", key.trim());
                        table.insert(key.clone(), text.trim().to_string());
                        last = Some(key);
                    }
                }
            }
        }
    }
    table
}

/// The text of a key; `t!("word.key")` or `t!("word.key", name = value, ...)`.
#[macro_export]
macro_rules! t {
    ($key:literal) => { $crate::raw($key) };
    ($key:literal, $($name:ident = $value:expr),+ $(,)?) => {
        $crate::fill($key, &[$((stringify!($name), $value.to_string())),+])
    };
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    #[test]
    fn fills_and_chooses() {
        let table = read(&[(
            "x",
            "a = {n} {n:tank|tanks} of {who}\n  and more\n# no\nb = plain",
        )]);
        assert_eq!(table["x.a"], "{n} {n:tank|tanks} of {who} and more");
        assert_eq!(placeholder("n:tank|tanks", &[("n", "1".into())]), "tank");
        assert_eq!(placeholder("n:tank|tanks", &[("n", "4".into())]), "tanks");
        assert_eq!(placeholder("missing", &[]), "{missing}");
    }

    /// Every `t!("key")` in the workspace's sources has its text.
    #[test]
    fn every_key_used_exists() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        let mut missing = Vec::new();
        for folder in ["crates", "src"] {
            look(&root.join(folder), &mut missing);
        }
        assert!(missing.is_empty(), "no text for {missing:?}");
    }

    fn look(folder: &Path, missing: &mut Vec<String>) {
        for item in std::fs::read_dir(folder).unwrap().flatten() {
            let path = item.path();
            if path.is_dir() && !path.ends_with("crates/text") {
                look(&path, missing);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let source = std::fs::read_to_string(&path).unwrap();
                for piece in source.split("t!(").skip(1) {
                    let literal = piece
                        .trim_start()
                        .strip_prefix('"')
                        .and_then(|p| p.split('"').next());
                    if let Some(key) = literal.filter(|k| looks_like_key(k) && !has(k)) {
                        missing.push(format!("{key} in {}", path.display()));
                    }
                }
            }
        }
    }

    fn looks_like_key(k: &str) -> bool {
        k.contains('.')
            && k.chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "._".contains(c))
    }
}
