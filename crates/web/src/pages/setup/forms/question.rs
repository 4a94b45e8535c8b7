//! The trial's question, its phases, and how it is kept: parts of the trial's own record.

use maud::{Markup, html};
use quantity::Analyte;
use text::t;
use trial::Trial;
use trial::types::{Absence, KeptRange, Phase, PhaseKind};

use super::money;
use crate::pages::setup::choices::PHASES;
use crate::pages::setup::kit::{Ink, nth, part};
use crate::pages::setup::reader::Reader;
use crate::parts::fields::{Pairs, suggestions};
use crate::parts::form::row;

const PHASE: [&str; 4] = ["phase_kind", "phase_from", "phase_to", "phase_note"];
const RANGE: [&str; 3] = ["range_analyte", "range_low", "range_high"];
const ABSENCE: [&str; 4] = ["absent_from", "absent_to", "absent_who", "absent_note"];
const ZONES: &str = "zones-known";

pub(in crate::pages::setup) fn fill(r: &Trial) -> Pairs {
    let mut to = Pairs::default();
    to.put("title", &r.title);
    to.put("question", &r.question);
    to.maybe("keeper", r.keeper.as_ref());
    to.maybe("start", r.start);
    to.put("zone", &r.zone);
    to.maybe("next_step", r.next_step.as_ref());
    to.put("disclosures", r.disclosures.join("\n"));
    to
}

pub(in crate::pages::setup) fn read(from: &mut Reader<'_>, base: &Trial) -> Trial {
    let disclosures = from.page("disclosures");
    let lines = disclosures
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty());
    Trial {
        title: from.text("title"),
        question: from.page("question"),
        keeper: from.text_if_any("keeper"),
        start: from.date("start"),
        zone: from.text("zone"),
        next_step: from.text_if_any("next_step"),
        disclosures: lines.map(str::to_owned).collect(),
        ..base.clone()
    }
}

pub(in crate::pages::setup) fn fields(ink: &Ink<'_>) -> Markup {
    let zones = jiff::tz::db().available().map(|zone| zone.to_string());
    let zones: Vec<String> = zones.collect();
    html! {
        (suggestions(ZONES, zones.iter().map(|zone| (zone.as_str(), ""))))
        (ink.text("title"))
        (ink.field("question").area(3))
        (row(&html! { (ink.text("keeper")) (ink.field("start").date()) }))
        (ink.field("zone").suggested(ZONES))
        (ink.field("next_step").area(2))
        (ink.field("disclosures").area(3))
    }
}

pub(in crate::pages::setup) fn fill_phases(r: &Trial) -> Pairs {
    let mut to = Pairs::default();
    for (n, phase) in (1..).zip(&r.phases) {
        to.put(&nth("phase_kind", n), PHASES.key(phase.kind));
        to.put(&nth("phase_from", n), phase.from);
        to.maybe(&nth("phase_to", n), phase.to);
        to.put(&nth("phase_note", n), &phase.note);
    }
    to
}

pub(in crate::pages::setup) fn read_phases(from: &mut Reader<'_>, base: &Trial) -> Trial {
    let mut phases = Vec::new();
    for n in from.rows(&PHASE) {
        let kind = from
            .choice(&nth("phase_kind", n))
            .and_then(|k| PHASES.value(&k));
        let (first, to) = (
            from.date(&nth("phase_from", n)),
            from.date(&nth("phase_to", n)),
        );
        if kind.is_none() && from.typed(&nth("phase_kind", n)).is_empty() {
            from.refuse(&nth("phase_kind", n), t!("setup.accept_phase"));
        }
        if first.is_none() && from.typed(&nth("phase_from", n)).is_empty() {
            from.refuse(&nth("phase_from", n), t!("setup.accept_day"));
        }
        phases.push(Phase {
            kind: kind.unwrap_or(PhaseKind::Establishing),
            from: first.unwrap_or(from.today),
            to,
            note: from.text(&nth("phase_note", n)),
        });
    }
    if !from.errors.is_empty() {
        // Days filled in for missing ones must not be held against the order of the others.
        phases = base.phases.clone();
    }
    Trial {
        phases,
        ..base.clone()
    }
}

pub(in crate::pages::setup) fn phases_fields(ink: &Ink<'_>) -> Markup {
    html! {
        p.muted { (t!("setup.phases_what")) }
        (ink.repeated(t!("setup.row_phase"), &PHASE, |n| row(&html! {
            (ink.select(&nth("phase_kind", n))) (ink.field(&nth("phase_from", n)).date())
            (ink.field(&nth("phase_to", n)).date()) (ink.text(&nth("phase_note", n)))
        })))
    }
}

pub(in crate::pages::setup) fn fill_keeping(r: &Trial) -> Pairs {
    let mut to = Pairs::default();
    to.maybe("stop_rule", r.stop_rule.as_ref());
    for (n, range) in (1..).zip(&r.kept_ranges) {
        to.put(&nth("range_analyte", n), range.analyte.key());
        to.number(&nth("range_low", n), Some(range.low));
        to.number(&nth("range_high", n), Some(range.high));
    }
    for (n, absence) in (1..).zip(&r.absences) {
        to.put(&nth("absent_from", n), absence.from);
        to.put(&nth("absent_to", n), absence.to);
        to.put(&nth("absent_who", n), &absence.who_helps);
        to.put(&nth("absent_note", n), &absence.note);
    }
    let price = r.electricity_per_kwh.as_ref();
    to.money("electricity_per_kwh", "electricity_currency", price);
    to
}

pub(in crate::pages::setup) fn read_keeping(from: &mut Reader<'_>, base: &Trial) -> Trial {
    let mut kept_ranges = Vec::new();
    for n in from.rows(&RANGE) {
        let analyte = from
            .choice(&nth("range_analyte", n))
            .and_then(|k| Analyte::from_word(&k));
        let (low, high) = (
            from.signed(&nth("range_low", n)),
            from.signed(&nth("range_high", n)),
        );
        if analyte.is_none() {
            from.refuse(&nth("range_analyte", n), t!("setup.accept_analyte"));
        }
        for (name, end) in [("range_low", low), ("range_high", high)] {
            if end.is_none() && from.typed(&nth(name, n)).is_empty() {
                from.refuse(&nth(name, n), t!("setup.accept_number"));
            }
        }
        if let (Some(low), Some(high)) = (low, high) {
            if low >= high {
                from.refuse(&nth("range_high", n), t!("setup.accept_higher"));
            }
            kept_ranges.extend(analyte.map(|analyte| KeptRange { analyte, low, high }));
        }
    }
    let mut absences = read_absences(from);
    if !from.errors.is_empty() {
        kept_ranges = base.kept_ranges.clone();
        absences = base.absences.clone();
    }
    Trial {
        stop_rule: from.text_if_any("stop_rule"),
        kept_ranges,
        absences,
        electricity_per_kwh: money(from, "electricity_per_kwh", "electricity_currency"),
        ..base.clone()
    }
}

fn read_absences(from: &mut Reader<'_>) -> Vec<Absence> {
    let mut absences = Vec::new();
    for n in from.rows(&ABSENCE) {
        let names = [nth("absent_from", n), nth("absent_to", n)];
        let days = names.each_ref().map(|name| from.date(name));
        for (name, day) in names.iter().zip(days) {
            if day.is_none() && from.typed(name).is_empty() {
                from.refuse(name, t!("setup.accept_day"));
            }
        }
        let (who_helps, note) = (
            from.text(&nth("absent_who", n)),
            from.text(&nth("absent_note", n)),
        );
        if let [Some(first), Some(last)] = days {
            absences.push(Absence {
                from: first,
                to: last,
                who_helps,
                note,
            });
        }
    }
    absences
}

pub(in crate::pages::setup) fn keeping_fields(ink: &Ink<'_>) -> Markup {
    html! {
        (ink.field("stop_rule").area(4))
        (part(t!("setup.part_ranges"), &html! {
            p.muted { (t!("setup.ranges_what")) }
            (ink.repeated(t!("setup.row_range"), &RANGE, |n| row(&html! {
                (ink.select(&nth("range_analyte", n)))
                (ink.number(&nth("range_low", n))) (ink.number(&nth("range_high", n)))
            })))
        }))
        (part(t!("setup.part_absences"), &html! {
            p.muted { (t!("setup.absences_what")) }
            (ink.repeated(t!("setup.row_absence"), &ABSENCE, |n| row(&html! {
                (ink.field(&nth("absent_from", n)).date()) (ink.field(&nth("absent_to", n)).date())
                (ink.text(&nth("absent_who", n))) (ink.text(&nth("absent_note", n)))
            })))
        }))
        (part(t!("setup.part_electricity"), &html! {
            (row(&html! { (ink.number("electricity_per_kwh")) (ink.text("electricity_currency")) }))
        }))
    }
}
