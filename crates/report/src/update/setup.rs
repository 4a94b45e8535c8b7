//! How the trial was set up: what differs, what is equal, tanks, lot, phases, stop rule.

use super::html::{Table, capital, day, figure, section};
use super::sources::Sources;
use super::{living, tanks};
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::types::KeptRange;

pub(super) fn setup(view: &UpdateView, sources: &mut Sources) -> Markup {
    let body = html! {
        (figure("bench", t!("update.bench_figure"), |width| {
            crate::figures::bench::tanks(&view.now, width)
        }))
        (differ(view))
        (equal(view))
        (tanks::tanks(view, sources))
        (lot(view))
        (phases(view))
        (kept_ranges(view))
        (stop_rule(view))
        (living::plants(view))
        (living::animals(view))
    };
    section("setup", t!("update.setup"), &body)
}

fn differ(view: &UpdateView) -> Markup {
    let trial = &view.bench.trial;
    if trial.differ.is_empty() {
        return html! { h3 { (t!("update.differ")) } p { (t!("update.nothing_differ")) } };
    }
    let mut table = Table::new(t!("update.differ"))
        .stacked()
        .words(t!("update.differ_what"));
    for arm in &trial.arms {
        table = table.words(&arm.name);
    }
    for factor in &trial.differ {
        let levels = trial.arms.iter().map(|arm| {
            let level = factor.levels.iter().find(|l| l.arm == arm.key);
            html! { (level.map_or(t!("update.unknown"), |l| l.value.as_str())) }
        });
        table.row(std::iter::once(html! { (factor.name) }).chain(levels));
    }
    html! { (table) }
}

fn equal(view: &UpdateView) -> Markup {
    let trial = &view.bench.trial;
    if trial.equal.is_empty() {
        return html! { h3 { (t!("update.equal")) } p { (t!("update.nothing_equal")) } };
    }
    let mut table = Table::new(t!("update.equal"))
        .words(t!("update.differ_what"))
        .words(t!("update.equal_level"));
    for factor in &trial.equal {
        table.row([html! { (factor.name) }, html! { (factor.value) }]);
    }
    html! { (table) }
}

fn lot(view: &UpdateView) -> Markup {
    let text = match &view.bench.trial.lot {
        Some(lot) => match lot.seed {
            Some(seed) => t!(
                "update.lot_text",
                day = day(lot.drawn),
                seed = seed,
                method = lot.method
            ),
            None => t!(
                "update.lot_paper",
                lot = trial::lot::sentence(lot),
                result = lot.result
            ),
        },
        None => t!("update.lot_none").to_string(),
    };
    html! { h3 { (t!("update.lot")) } p { (text) } }
}

fn phases(view: &UpdateView) -> Markup {
    let phases = &view.bench.trial.phases;
    if phases.is_empty() {
        return html! { h3 { (t!("update.phases")) } p { (t!("update.no_phases")) } };
    }
    let mut table = Table::new(t!("update.phases"))
        .stacked()
        .words(t!("update.phase"))
        .words(t!("update.from"))
        .words(t!("update.to"))
        .words(t!("update.note"));
    for phase in phases {
        let to = match (phase.to, phase.kind) {
            (Some(to), _) => day(super::html::last_day(to)),
            (None, trial::types::PhaseKind::End) => String::new(),
            (None, _) => t!("update.running").to_string(),
        };
        table.row([
            html! { (capital(trial::describe::phase_name(phase.kind))) },
            html! { (day(phase.from)) },
            html! { (to) },
            html! { (phase.note) },
        ]);
    }
    html! { (table) }
}

fn kept_ranges(view: &UpdateView) -> Markup {
    let ranges = &view.bench.trial.kept_ranges;
    html! {
        @if !ranges.is_empty() {
            h3 { (t!("update.kept_ranges")) }
            ul { @for range in ranges {
                li { (super::readings::analyte_name(range.analyte)) ": " (range_text(range)) }
            } }
        }
    }
}

pub(super) fn range_text(range: &KeptRange) -> String {
    let n = |v| Format::default().significant(v, 3);
    t!(
        "update.range_text",
        low = n(range.low),
        high = n(range.high),
        unit = range.analyte.unit()
    )
}

fn stop_rule(view: &UpdateView) -> Markup {
    html! {
        h3 { (t!("update.stop_rule")) }
        @match &view.bench.trial.stop_rule {
            Some(rule) => { p { (stop_rule_lead(view)) } blockquote { p { (rule) } } }
            None => p { (t!("update.stop_rule_none")) }
        }
    }
}

/// When the stop rule was written: one that came after the beginning says so.
fn stop_rule_lead(view: &UpdateView) -> String {
    match view.advance.stop_rule_late() {
        None => t!("update.stop_rule_lead").to_string(),
        Some(day) => t!("update.stop_rule_late", day = super::html::day(day)),
    }
}
