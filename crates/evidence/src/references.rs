//! Holds the crate against published and independently computed tables.
//!
//! The tables are embedded; every one is answered by the same code that answers a case from
//! outside ([`crate::cases::answer`]) and compared value by value.

use serde::Serialize;
use serde_json::Value;

use crate::cases;

/// Result of one table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckResult {
    /// Name of the table.
    pub id: String,
    /// What it is about.
    pub title: String,
    /// Where the data or the method come from.
    pub source: String,
    /// What computed the expected values.
    pub computed_by: String,
    /// Whether every value is within its tolerance.
    pub passed: bool,
    /// Number of values compared.
    pub compared: usize,
    /// Largest |value - expected| / |expected| over values that are not zero.
    pub worst_relative_error: f64,
    /// The first value that is out, or how many were compared.
    pub detail: String,
}

macro_rules! tables {
    ($($id:literal),* $(,)?) => {
        [$((
            $id,
            include_str!(concat!("../../../checks/evidence/", $id, ".input.json")),
            include_str!(concat!("../../../checks/evidence/", $id, ".expected.json")),
        )),*]
    };
}

/// Name, input and expected values of every table.
const TABLES: [(&str, &str, &str); 21] = tables![
    "r001_t",
    "r005_t",
    "r008_anova",
    "r009_anova",
    "r016_rgr",
    "r017_rgr",
    "r018_rgr",
    "r021_perm",
    "r025_perm",
    "r026_perm",
    "r053_lnrr",
    "r062_lnrr",
    "r064_power",
    "r065_power",
    "r073_multiplicity",
    "p001_nist",
    "p005_nist",
    "p006_nist",
    "p009_pseudorep",
    "p010_power",
    "p014_perm",
];

/// Runs every embedded table.
#[must_use]
pub fn run() -> Vec<CheckResult> {
    TABLES
        .iter()
        .map(|(id, input, expected)| {
            match (
                serde_json::from_str::<Value>(input),
                serde_json::from_str::<Value>(expected),
            ) {
                (Ok(input), Ok(expected)) => check(&input, &expected),
                (Err(error), _) | (_, Err(error)) => CheckResult {
                    id: (*id).into(),
                    title: String::new(),
                    source: String::new(),
                    computed_by: String::new(),
                    passed: false,
                    compared: 0,
                    worst_relative_error: f64::INFINITY,
                    detail: format!("the table cannot be read: {error}"),
                },
            }
        })
        .collect()
}

/// Answers one case and compares with what is expected.
#[must_use]
pub fn check(input: &Value, expected: &Value) -> CheckResult {
    let text = |of: &Value, key: &str| of[key].as_str().unwrap_or_default().to_string();
    let mut found = Comparison {
        tolerance: &expected["tolerance"],
        compared: 0,
        worst: 0.0,
        first_out: None,
    };
    match cases::answer(input) {
        Ok(answer) => found.walk("", &answer, &expected["expected"]),
        Err(none) => found.out(none.to_string()),
    }
    if found.compared == 0 {
        found.out("nothing was compared".into());
    }
    CheckResult {
        id: text(expected, "id"),
        title: text(input, "title"),
        source: text(expected, "source"),
        computed_by: text(expected, "computed_by"),
        passed: found.first_out.is_none(),
        compared: found.compared,
        worst_relative_error: found.worst,
        detail: found
            .first_out
            .unwrap_or_else(|| format!("{} values within tolerance", found.compared)),
    }
}

struct Comparison<'a> {
    tolerance: &'a Value,
    compared: usize,
    worst: f64,
    first_out: Option<String>,
}

impl Comparison<'_> {
    fn out(&mut self, text: String) {
        self.first_out.get_or_insert(text);
    }

    fn walk(&mut self, path: &str, answer: &Value, expected: &Value) {
        match expected {
            Value::Object(keys) => {
                for (key, inner) in keys {
                    let path = if path.is_empty() {
                        key.clone()
                    } else {
                        format!("{path}.{key}")
                    };
                    self.walk(&path, &answer[key], inner);
                }
            }
            Value::Array(list) => {
                if answer.as_array().map(Vec::len) != Some(list.len()) {
                    self.out(format!("{path}: {} values expected", list.len()));
                    return;
                }
                for (i, inner) in list.iter().enumerate() {
                    self.walk(&format!("{path}[{i}]"), &answer[i], inner);
                }
            }
            Value::Number(number) => {
                let reference = number.as_f64().unwrap_or(f64::NAN);
                self.number(path, answer.as_f64().unwrap_or(f64::NAN), reference);
            }
            other => {
                self.compared += 1;
                if answer != other {
                    self.out(format!("{path}: {answer} instead of {other}"));
                }
            }
        }
    }

    /// |x - ref| <= abs + rel |ref|; a special key stands for both where it applies.
    fn number(&mut self, path: &str, value: f64, reference: f64) {
        self.compared += 1;
        let setting = |key: &str| self.tolerance[key].as_f64();
        let special = if path.starts_with("tukey") {
            setting("tukey_abs")
        } else if path == "hl" {
            setting("hl_abs")
        } else {
            None
        };
        let allowed = special.unwrap_or_else(|| {
            setting("abs").unwrap_or(0.0) + setting("rel").unwrap_or(0.0) * reference.abs()
        });
        let error = (value - reference).abs();
        if reference != 0.0 && error.is_finite() {
            self.worst = self.worst.max(error / reference.abs());
        }
        // A NaN is out: it is not within the tolerance.
        if !matches!(
            error.partial_cmp(&allowed),
            Some(std::cmp::Ordering::Less | std::cmp::Ordering::Equal)
        ) {
            self.worst = if error.is_finite() {
                self.worst
            } else {
                f64::INFINITY
            };
            self.out(format!("{path}: {value} instead of {reference}"));
        }
    }
}
