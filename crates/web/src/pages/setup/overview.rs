//! The set-up at a glance: what is there, what is missing, and what each missing thing costs in
//! certainty.

use axum::extract::{Query, State};
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::types::{Better, Measure, Outcome};
use trial::{Finding, Trial, describe};

use super::forms::Form;
use super::glance::glance;
use super::plant_facts::{self, species};
use super::{lists, tank_card, withdraw};
use crate::app::App;
use crate::error::WebError;
use crate::pages::words::capital;
use crate::parts::shell::NavItem;
use crate::parts::{findings, notice};
use crate::trial_page::TrialPage;

/// The address of the overview with one part open, by its word.
pub(super) fn at(path: &str, word: &str) -> String {
    format!("{path}/setup?open={word}#{word}")
}

/// The overview page.
pub async fn show(
    State(app): State<App>,
    page: TrialPage,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Markup, WebError> {
    let gaps = answers::setup::gaps_of(app.notebook(), &page.bench, page.today())?;
    let asked = |asked: &str| {
        let named = query.iter().find(|(name, _)| name == asked);
        named.and_then(|(_, word)| Form::of_word(word))
    };
    let saved = asked("saved");
    let view = View {
        page: &page,
        gaps: &gaps,
        asked: saved.or(asked("open")),
    };
    let body = html! {
        @if let Some(form) = saved {
            (notice::done(&t!("setup.saved", what = form.title()), None))
        }
        (withdraw::told(&page.bench, &query))
        div.folds {
            (view.section(Form::Question, &view.question()))
            (view.section(Form::Arms, &view.arms()))
            (view.section(Form::Outcomes, &view.outcomes()))
            (view.section(Form::Phases, &view.phases()))
            (view.section(Form::Keeping, &view.keeping()))
            (view.section(Form::Tank, &tank_card::all(&page.bench, page.path())))
            (view.section(Form::Planting, &view.plantings()))
            (view.section(Form::Card, &lists::cards(&page.bench, page.path())))
            (view.section(Form::Water, &lists::waters(&page.bench, page.path())))
            (view.section(Form::Product, &lists::products(&page.bench, page.path())))
            (view.section(Form::Equipment, &lists::equipment(&page.bench, page.path())))
            (view.section(Form::Plan, &lists::plans(&page.bench, page.path())))
        }
        (withdraw::list(&page))
        p.muted { (t!("setup.never_deleted")) }
    };
    let lead = match gaps.len() {
        0 => t!("setup.lead_complete").to_owned(),
        n => t!("setup.lead_gaps", n = n),
    };
    Ok(page.page(NavItem::SetUp, t!("setup.title"), Some(&lead), body))
}

/// The part of the set-up that a gap belongs to.
fn form_of(code: &str) -> Form {
    let gap = code.strip_prefix("gap_").unwrap_or(code);
    match gap {
        "tanks" | "livestock" | "photoperiod" | "substrate" => Form::Tank,
        "tank_arm" | "arms" | "arm_small" | "control" | "levels" | "equal" => Form::Arms,
        "phases" | "treatment" | "baseline" => Form::Phases,
        "stop_rule" | "ranges" => Form::Keeping,
        "plantings" | "start_mass" | "zone" | "planted" | "origin" | "divided" => Form::Planting,
        "cards" => Form::Card,
        "waters" | "disinfectant" | "neutraliser" | "mix" => Form::Water,
        "product" => Form::Product,
        "prices" => Form::Equipment,
        "routines" => Form::Plan,
        _ if gap.starts_with("tank_size") || gap.starts_with("lamp") => Form::Tank,
        _ if gap.starts_with("differ") || gap.starts_with("lot") => Form::Arms,
        _ if gap.starts_with("primary") => Form::Outcomes,
        _ => Form::Question,
    }
}

struct View<'a> {
    page: &'a TrialPage,
    gaps: &'a [Finding],
    asked: Option<Form>,
}

impl View<'_> {
    fn trial(&self) -> &Trial {
        &self.page.bench.trial
    }

    fn gaps_of(&self, form: Form) -> Vec<&Finding> {
        self.gaps
            .iter()
            .filter(|gap| form_of(gap.code) == form)
            .collect()
    }

    /// Open when something is missing, something must be known, or it was asked for.
    fn is_open(&self, form: Form) -> bool {
        let told = || answers::cautions::regulated(&self.page.bench);
        !self.gaps_of(form).is_empty()
            || self.asked == Some(form)
            || form == Form::Planting && !told().is_empty()
    }

    /// One part, folded: its heading and what is there, or all of it.
    fn section(&self, form: Form, body: &Markup) -> Markup {
        let to = match form.is_of_trial() {
            true => format!("{}/setup/{}", self.page.path(), form.word()),
            false => format!("{}/setup/{}/new", self.page.path(), form.word()),
        };
        let action = if form.is_of_trial() {
            t!("setup.edit")
        } else {
            form.title_new()
        };
        let label = match form.is_of_trial() {
            true => t!("setup.edit_what", what = heading(form)),
            false => action.to_owned(),
        };
        let gaps = self.gaps_of(form);
        html! {
            details.fold id=(form.word()) open[self.is_open(form)] {
                summary {
                    h2 { (heading(form)) }
                    span.fold-glance { (glance(form, &self.page.bench)) }
                    @if !gaps.is_empty() { span.tag { (t!("setup.missing", n = gaps.len())) } }
                }
                div.fold-body {
                    (body)
                    @if !gaps.is_empty() {
                        div.stack { @for gap in &gaps { (findings::one(gap, &self.page.bench)) } }
                    }
                    div.actions { a.button href=(to) aria-label=(label) { (action) } }
                }
            }
        }
    }

    fn question(&self) -> Markup {
        let trial = self.trial();
        let start = trial.start.map(|day| day.to_string());
        html! {
            dl.facts {
                (fact(t!("setup.f_title"), Some(&trial.title)))
                (fact(t!("setup.f_question"), Some(&trial.question)))
                (fact(t!("setup.f_keeper"), trial.keeper.as_deref()))
                (fact(t!("setup.f_start"), start.as_deref()))
                (fact(t!("setup.f_zone"), Some(&trial.zone)))
                (fact(t!("setup.f_next_step"), trial.next_step.as_deref()))
                (fact(t!("setup.f_disclosures"), Some(&trial.disclosures.join("; "))))
            }
        }
    }

    fn arms(&self) -> Markup {
        let trial = self.trial();
        let bench = &self.page.bench;
        let tanks = |key: &str| {
            let names: Vec<String> = bench.tanks_of_arm(key).map(|t| t.name.clone()).collect();
            if names.is_empty() {
                t!("setup.no_tank_yet").to_owned()
            } else {
                describe::list(&names)
            }
        };
        let level = |levels: &[trial::types::Level]| {
            let said = levels.iter().filter_map(|l| {
                let arm = trial.arm(&l.arm)?;
                if arm.name == l.value {
                    return Some(l.value.clone());
                }
                Some(t!("setup.level_in", arm = arm.name, level = l.value))
            });
            said.collect::<Vec<_>>().join("; ")
        };
        html! {
            dl.facts {
                @for arm in &trial.arms {
                    @let name = if arm.control { t!("setup.arm_control", arm = arm.name) } else { arm.name.clone() };
                    (fact(&name, Some(&tanks(&arm.key))))
                }
                @for factor in &trial.differ {
                    (fact(&t!("setup.differs", what = factor.name), Some(&level(&factor.levels))))
                }
                @for equal in &trial.equal {
                    (fact(&t!("setup.equals", what = equal.name), Some(&equal.value)))
                }
                @if let Some(lot) = &trial.lot {
                    dt { (t!("setup.f_lot")) }
                    dd { (trial::lot::sentence(lot)) " " span.muted { (trial::lot::details(lot)) } }
                }
            }
        }
    }

    fn outcomes(&self) -> Markup {
        let trial = self.trial();
        html! {
            dl.facts {
                @if let Some(primary) = &trial.primary {
                    dt { (t!("setup.row_primary")) } dd { (outcome(primary)) }
                }
                @for secondary in &trial.secondary {
                    dt { (t!("setup.row_outcome")) } dd { (outcome(secondary)) }
                }
            }
        }
    }

    fn phases(&self) -> Markup {
        html! {
            dl.facts {
                @for phase in &self.trial().phases {
                    @let name = capital(describe::phase_name(phase.kind));
                    @let days = match phase.to {
                        Some(to) => t!("setup.phase_span", from = phase.from, to = last_day(to)),
                        None => t!("setup.phase_open", from = phase.from),
                    };
                    dt { (name) }
                    dd { (days) @if !phase.note.is_empty() { br; span.muted { (phase.note) } } }
                }
            }
        }
    }

    fn keeping(&self) -> Markup {
        let trial = self.trial();
        let plain = |v| Format::default().plain(v);
        let ranges = trial.kept_ranges.iter().map(|r| {
            let (low, high) = (plain(r.low), plain(r.high));
            t!(
                "setup.range_of",
                what = capital(r.analyte.name()),
                low = low,
                high = high,
                unit = r.analyte.unit()
            )
        });
        let ranges: Vec<String> = ranges.collect();
        let absences = trial.absences.iter().map(|a| match a.who_helps.as_str() {
            "" => t!("setup.absent_span", from = a.from, to = a.to),
            who => t!("setup.absent_helper", from = a.from, to = a.to, who = who),
        });
        let absences: Vec<String> = absences.collect();
        let price = trial.electricity_per_kwh.as_ref();
        let price = price.map(|m| {
            t!(
                "setup.per_kwh",
                amount = plain(m.amount),
                currency = m.currency
            )
        });
        html! {
            dl.facts {
                (fact(t!("setup.f_stop_rule"), trial.stop_rule.as_deref()))
                (fact(t!("setup.part_ranges"), Some(&ranges.join("; "))))
                (fact(t!("setup.part_absences"), Some(&absences.join("; "))))
                (fact(t!("setup.part_electricity"), price.as_deref()))
            }
        }
    }

    fn plantings(&self) -> Markup {
        html! {
            (lists::plantings(&self.page.bench, self.page.path()))
            @for listed in answers::cautions::regulated(&self.page.bench) {
                (plant_facts::regulation(&listed.plant, &listed.text))
            }
        }
    }
}

/// The last day of a phase that ends before `to`.
fn last_day(to: Date) -> Date {
    to.yesterday().unwrap_or(to)
}

/// The heading of a section.
fn heading(form: Form) -> &'static str {
    match form {
        Form::Tank => t!("setup.part_tanks"),
        Form::Planting => t!("setup.part_plantings"),
        Form::Card => t!("setup.part_cards"),
        Form::Water => t!("setup.part_waters"),
        Form::Product => t!("setup.part_products"),
        Form::Equipment => t!("setup.part_equipment"),
        Form::Plan => t!("setup.part_plans"),
        of_trial => of_trial.title(),
    }
}

/// One line of what is recorded; nothing when it is not.
pub(super) fn fact(label: &str, value: Option<&str>) -> Markup {
    html! {
        @if let Some(value) = value.filter(|v| !v.trim().is_empty()) {
            dt { (label) } dd.kept-lines { (value) }
        }
    }
}

fn outcome(o: &Outcome) -> Markup {
    let unit = describe::measure_unit(o.measure);
    let better = match o.better {
        Better::More => t!("setup.better_more").to_owned(),
        Better::Less => t!("setup.better_less").to_owned(),
        Better::Target { value } => {
            t!(
                "setup.better_near",
                value = Format::default().plain(value),
                unit = unit
            )
        }
    };
    let measure = match o.measure {
        Measure::Money => describe::measure_name(o.measure).to_owned(),
        other => t!(
            "setup.measure_in",
            measure = describe::measure_name(other),
            unit = unit
        ),
    };
    html! {
        (o.name) br;
        span.muted {
            (capital(&measure))
            @if let Some(plant) = &o.plant { ", " (species(plant)) }
            "; " (better)
        }
    }
}
