//! Typed access to the keys of a case.

use serde_json::Value;

use crate::Unusable;

/// An object of a case.
pub(super) struct Fields<'a>(&'a Value);

impl<'a> Fields<'a> {
    pub(super) fn new(value: &'a Value) -> Self {
        Self(value)
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.0.get(key).is_some()
    }

    /// Keys and values in the order of the sorted keys.
    pub(super) fn entries(&self) -> impl Iterator<Item = (&'a String, &'a Value)> {
        self.0.as_object().into_iter().flatten()
    }

    pub(super) fn inner(&self, key: &str) -> Result<Fields<'a>, Unusable> {
        self.get(key, "an object", |v| v.is_object().then_some(Fields(v)))
    }

    pub(super) fn text(&self, key: &str) -> Result<&'a str, Unusable> {
        self.get(key, "a text", Value::as_str)
    }

    pub(super) fn number(&self, key: &str) -> Result<f64, Unusable> {
        self.get(key, "a number", Value::as_f64)
    }

    /// A number, or `default` when the key is absent.
    pub(super) fn number_or(&self, key: &str, default: f64) -> Result<f64, Unusable> {
        if self.has(key) {
            self.number(key)
        } else {
            Ok(default)
        }
    }

    pub(super) fn numbers(&self, key: &str) -> Result<Vec<f64>, Unusable> {
        self.get(key, "a list of numbers", numbers)
    }

    pub(super) fn counts(&self, key: &str) -> Result<Vec<usize>, Unusable> {
        self.get(key, "a list of whole numbers", |v| {
            v.as_array()?
                .iter()
                .map(|n| usize::try_from(n.as_u64()?).ok())
                .collect()
        })
    }

    /// Labels, given as texts or numbers.
    pub(super) fn labels(&self, key: &str) -> Result<Vec<String>, Unusable> {
        self.get(key, "a list of labels", labels)
    }

    fn get<T>(
        &self,
        key: &str,
        accepted: &str,
        read: impl FnOnce(&'a Value) -> Option<T>,
    ) -> Result<T, Unusable> {
        self.0.get(key).and_then(read).ok_or_else(|| Unusable::Key {
            key: key.into(),
            accepted: accepted.into(),
        })
    }
}

pub(super) fn numbers(value: &Value) -> Option<Vec<f64>> {
    value.as_array()?.iter().map(Value::as_f64).collect()
}

pub(super) fn labels(value: &Value) -> Option<Vec<String>> {
    value
        .as_array()?
        .iter()
        .map(|label| match label {
            Value::String(text) => Some(text.clone()),
            Value::Number(number) => Some(number.to_string()),
            _ => None,
        })
        .collect()
}

/// Values per label, labels sorted as texts.
pub(super) fn grouped(labels: &[String], values: &[f64]) -> Vec<(String, Vec<f64>)> {
    let mut groups = std::collections::BTreeMap::<&String, Vec<f64>>::new();
    for (label, value) in labels.iter().zip(values) {
        groups.entry(label).or_default().push(*value);
    }
    groups.into_iter().map(|(l, v)| (l.clone(), v)).collect()
}
