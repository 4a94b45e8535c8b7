//! What differs between two versions of an entry, field by field and in words.

use super::FieldChange;
use quantity::{Amount, Format, Interval, Unit};
use serde_json::{Map, Value};
use text::t;
use trial::types::Money;
use trial::{
    Act, Bench, CardId, Entry, EquipmentId, PlantingId, ProductId, Seen, TankId, WaterId, describe,
};
use uuid::Uuid;

/// Units that field names end in, longest first, with how they are written.
const SUFFIXES: &[(&str, &str)] = &[
    ("_l_h", "L/h"),
    ("_min", "min"),
    ("_pct", "%"),
    ("_px", "px"),
    ("_cm", "cm"),
    ("_g", "g"),
    ("_h", "h"),
    ("_c", "\u{b0}C"),
];

/// Every field that `after` changed in `before`.
pub(super) fn changes(
    before: &Entry,
    after: &Entry,
    bench: &Bench,
    format: &Format,
) -> Vec<FieldChange> {
    let mut found = Vec::new();
    let mut compare = |field: &str, old: Option<String>, new: Option<String>| {
        if old != new {
            found.push(change(field, old, new));
        }
    };
    let when = |e: &Entry| Some(e.at.strftime("%Y-%m-%d %H:%M %Z").to_string());
    let tanks = |e: &Entry| Some(describe::tanks_phrase(&e.tanks, e.all_tanks, bench));
    let minutes = |e: &Entry| {
        e.minutes
            .map(|m| format.amount(Amount::new(m, Unit::Minute)))
    };
    let said = |s: &str| (!s.trim().is_empty()).then(|| s.to_string());
    compare(t!("history.field_at"), when(before), when(after));
    compare(t!("history.field_tanks"), tanks(before), tanks(after));
    compare(t!("history.field_who"), said(&before.who), said(&after.who));
    compare(t!("history.field_minutes"), minutes(before), minutes(after));
    compare(
        t!("history.field_note"),
        said(&before.note),
        said(&after.note),
    );
    if before.act.kind() == after.act.kind() {
        let unit = match &after.act {
            Act::Reading(r) => r.analyte.unit(),
            _ => "",
        };
        let words = Words {
            bench,
            format,
            unit,
        };
        words.fields(&payload(before), &payload(after), &mut compare);
    } else {
        let sentence = |e: &Entry| Some(describe::sentence(&e.act, bench, format));
        compare(t!("history.field_act"), sentence(before), sentence(after));
    }
    found
}

fn change(field: &str, before: Option<String>, after: Option<String>) -> FieldChange {
    let sentence = match (&before, &after) {
        (Some(old), Some(new)) => t!("history.from_to", field = field, old = old, new = new),
        (None, Some(new)) => t!("history.added", field = field, new = new),
        (Some(old), None) => t!("history.removed", field = field, old = old),
        (None, None) => String::new(),
    };
    FieldChange {
        field: field.to_string(),
        before,
        after,
        sentence,
    }
}

/// The payload as fields; an act that cannot be written as one has none.
fn payload(entry: &Entry) -> Map<String, Value> {
    match serde_json::to_value(&entry.act) {
        Ok(Value::Object(fields)) => fields,
        _ => Map::new(),
    }
}

/// The words for a field: from the texts, else its name without unit and underscores.
pub(super) fn field_words(name: &str) -> String {
    let key = format!("history.field_{name}");
    if text::has(&key) {
        return text::raw(&key).to_string();
    }
    let bare = SUFFIXES
        .iter()
        .find_map(|(s, _)| name.strip_suffix(s))
        .unwrap_or(name);
    bare.replace('_', " ")
}

struct Words<'a> {
    bench: &'a Bench,
    format: &'a Format,
    /// Unit of intervals, empty without one.
    unit: &'static str,
}

impl Words<'_> {
    fn fields(
        &self,
        before: &Map<String, Value>,
        after: &Map<String, Value>,
        compare: &mut impl FnMut(&str, Option<String>, Option<String>),
    ) {
        let mut names: Vec<&String> = before.keys().collect();
        names.extend(after.keys().filter(|k| !before.contains_key(*k)));
        for name in names {
            let (old, new) = (before.get(name), after.get(name));
            if old != new {
                let say = |v: Option<&Value>| v.and_then(|v| self.value(name, v));
                compare(&field_words(name), say(old), say(new));
            }
        }
    }

    /// A value in words; none when it is empty.
    fn value(&self, name: &str, value: &Value) -> Option<String> {
        match value {
            Value::Null => None,
            Value::Bool(true) => Some(t!("history.yes").into()),
            Value::Bool(false) => Some(t!("history.no").into()),
            Value::Number(n) => Some(self.number(name, n.as_f64()?)),
            Value::String(s) if s.is_empty() => None,
            Value::String(s) => Some(self.named(s).unwrap_or_else(|| s.replace('_', " "))),
            Value::Array(items) => {
                let words: Vec<String> = items.iter().filter_map(|v| self.value(name, v)).collect();
                (!words.is_empty()).then(|| describe::list(&words))
            }
            Value::Object(fields) => Some(self.object(fields)),
        }
    }

    fn number(&self, name: &str, value: f64) -> String {
        if name.ends_with("share") {
            return self.format.percent(value);
        }
        let plain = self.format.plain(value);
        let unit = SUFFIXES
            .iter()
            .find(|(s, _)| name.ends_with(s))
            .map(|(_, u)| *u);
        match (unit, name) {
            (Some(unit), _) => format!("{plain}\u{a0}{unit}"),
            (None, "litres") => format!("{plain}\u{a0}L"),
            (None, "grams") => format!("{plain}\u{a0}g"),
            _ => plain,
        }
    }

    /// The name of the record a string is the id of.
    fn named(&self, text: &str) -> Option<String> {
        let id = Uuid::parse_str(text).ok()?;
        let b = self.bench;
        let equipment = b.equipment.iter().find(|e| e.id == EquipmentId(id));
        b.planting(PlantingId(id))
            .map(|p| p.title())
            .or_else(|| b.tank(TankId(id)).map(|t| t.name.clone()))
            .or_else(|| b.card(CardId(id)).map(|c| c.name.clone()))
            .or_else(|| b.product(ProductId(id)).map(|p| p.name.clone()))
            .or_else(|| b.water(WaterId(id)).map(|w| w.name.clone()))
            .or_else(|| equipment.map(|e| e.name.clone()))
            .or_else(|| Some(t!("act.gone").into()))
    }

    /// Amounts, prices, intervals and what was seen as people write them; anything else field by
    /// field.
    fn object(&self, fields: &Map<String, Value>) -> String {
        let f = self.format;
        let is = |name: &str| fields.contains_key(name);
        let whole = || Value::Object(fields.clone());
        let special = if is("unit") {
            serde_json::from_value::<Amount>(whole())
                .ok()
                .map(|a| f.amount(a))
        } else if is("currency") {
            let money = serde_json::from_value::<Money>(whole()).ok();
            money.map(|m| {
                t!(
                    "act.price",
                    amount = f.plain(m.amount),
                    currency = m.currency
                )
            })
        } else if is("seen") {
            serde_json::from_value::<Seen>(whole())
                .ok()
                .map(|s| self.seen(s))
        } else if fields.len() == 2 && is("low") && is("high") {
            serde_json::from_value::<Interval>(whole())
                .ok()
                .map(|i| self.interval(&i))
        } else {
            None
        };
        special.unwrap_or_else(|| self.plain_object(fields))
    }

    fn interval(&self, interval: &Interval) -> String {
        let said = self.format.interval(interval, 6);
        match self.unit {
            "" => said,
            unit => format!("{said}\u{a0}{unit}"),
        }
    }

    /// A tagged value without its tag (`40 %`, `evening mix`); a bare tag as it is; else each field
    /// with its name.
    fn plain_object(&self, fields: &Map<String, Value>) -> String {
        let tagged = fields.contains_key("is");
        let parts: Vec<String> = fields
            .iter()
            .filter(|(name, _)| !tagged || fields.len() == 1 || *name != "is")
            .filter_map(|(name, value)| {
                let said = self.value(name, value)?;
                Some(if tagged {
                    said
                } else {
                    format!("{} {said}", field_words(name))
                })
            })
            .collect();
        parts.join(", ")
    }

    fn seen(&self, seen: Seen) -> String {
        let n = |v: f64| self.format.plain(v);
        match seen {
            Seen::Step { step } => t!("history.seen_step", step = n(step)),
            Seen::Between { low, high } => t!("history.seen_between", low = n(low), high = n(high)),
            Seen::AtLeast { value } => t!("history.seen_at_least", value = n(value)),
            Seen::AtMost { value } => t!("history.seen_at_most", value = n(value)),
            Seen::Meter {
                value, error: None, ..
            } => t!("history.seen_meter", value = n(value)),
            Seen::Meter {
                value,
                error: Some(e),
                ..
            } => {
                t!("history.seen_meter_error", value = n(value), error = n(e))
            }
        }
    }
}
