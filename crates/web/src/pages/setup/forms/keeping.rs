//! Equipment and plans of a trial.

use maud::{Markup, html};
use text::t;
use trial::equipment::EquipmentKind;
use trial::plan::{PlanOutcome, Routine};
use trial::{Equipment, Plan, RecordKind, TankId};

use super::money;
use crate::form_data::FormData;
use crate::pages::setup::cautions;
use crate::pages::setup::choices::EQUIPMENT;
use crate::pages::setup::kit::{Ink, part};
use crate::pages::setup::reader::Reader;
use crate::parts::fields::Pairs;
use crate::parts::form::row;

fn put_tanks(to: &mut Pairs, tanks: &[TankId]) {
    if tanks.is_empty() {
        to.put("tanks", FormData::EVERY);
    }
    for tank in tanks {
        to.put("tanks", tank);
    }
}

/// Empty for every tank, as records have it.
fn read_tanks(from: &mut Reader<'_>) -> Vec<TankId> {
    let chosen = from.tanks("tanks").unwrap_or_default();
    chosen.into_iter().map(TankId).collect()
}

pub(in crate::pages::setup) fn fill_equipment(r: &Equipment) -> Pairs {
    let mut to = Pairs::default();
    to.put("name", &r.name);
    to.put("equipment_kind", EQUIPMENT.key(r.kind));
    put_tanks(&mut to, &r.tanks);
    to.money("price", "currency", r.price.as_ref());
    to.maybe("bought", r.bought);
    to.number("life_months", r.life_months);
    to.number("power_w", r.power_w);
    to.number("hours_per_day", r.hours_per_day);
    to.put("disclosure", &r.disclosure);
    to
}

pub(in crate::pages::setup) fn read_equipment(
    from: &mut Reader<'_>,
    base: &Equipment,
) -> Equipment {
    let kind = from
        .choice("equipment_kind")
        .and_then(|k| EQUIPMENT.value(&k));
    Equipment {
        name: from.text("name"),
        kind: kind.unwrap_or(EquipmentKind::Durable),
        tanks: read_tanks(from),
        price: money(from, "price", "currency"),
        bought: from.date("bought"),
        life_months: from.number("life_months"),
        power_w: from.number("power_w"),
        hours_per_day: from.number("hours_per_day"),
        disclosure: from.text("disclosure"),
        ..base.clone()
    }
}

pub(in crate::pages::setup) fn equipment_fields(ink: &Ink<'_>) -> Markup {
    html! {
        (row(&html! { (ink.text("name")) (ink.select("equipment_kind")) }))
        (ink.tanks("tanks"))
        (part(t!("setup.part_price"), &html! {
            (row(&html! { (ink.number("price")) (ink.text("currency")) }))
            (row(&html! { (ink.field("bought").date()) (ink.number("life_months")) }))
            (ink.text("disclosure"))
        }))
        (part(t!("setup.part_power"), &html! {
            (cautions::of_form(RecordKind::Equipment, "electricity"))
            (row(&html! { (ink.number("power_w")) (ink.number("hours_per_day")) }))
        }))
    }
}

pub(in crate::pages::setup) fn fill_plan(r: &Plan) -> Pairs {
    let mut to = Pairs::default();
    to.put("what", &r.what);
    put_tanks(&mut to, &r.tanks);
    to.put("from", r.from);
    to.put("expects", &r.expects);
    if let Some(routine) = &r.routine {
        to.put("act", &routine.act);
        to.put("every_days", routine.every_days);
        to.maybe("until", routine.until);
    }
    match &r.outcome {
        PlanOutcome::Open => to.put("plan_is", "open"),
        PlanOutcome::Done { on, seen, .. } => {
            to.put("plan_is", "done");
            to.put("done_on", on);
            to.put("seen", seen);
        }
        PlanOutcome::Dropped { why } => {
            to.put("plan_is", "dropped");
            to.put("why", why);
        }
    }
    to
}

pub(in crate::pages::setup) fn read_plan(from: &mut Reader<'_>, base: &Plan) -> Plan {
    let day = from.date("from");
    if day.is_none() && from.typed("from").is_empty() {
        from.refuse("from", t!("setup.accept_day"));
    }
    Plan {
        what: from.text("what"),
        tanks: read_tanks(from),
        from: day.unwrap_or(base.from),
        expects: from.page("expects"),
        routine: read_routine(from),
        outcome: read_outcome(from, &base.outcome),
        ..base.clone()
    }
}

fn read_routine(from: &mut Reader<'_>) -> Option<Routine> {
    let act = from.choice("act");
    let every = from.whole("every_days", u32::from(u16::MAX));
    let until = from.date("until");
    let Some(act) = act else {
        if every.is_some() || until.is_some() {
            from.refuse("act", t!("setup.accept_act"));
        }
        return None;
    };
    if every.is_none() && from.typed("every_days").is_empty() {
        from.refuse("every_days", t!("setup.accept_every"));
    }
    let every_days = every.and_then(|n| u16::try_from(n).ok()).unwrap_or(1);
    Some(Routine {
        act,
        every_days,
        until,
    })
}

fn read_outcome(from: &mut Reader<'_>, before: &PlanOutcome) -> PlanOutcome {
    let (on, seen, why) = (from.date("done_on"), from.page("seen"), from.page("why"));
    match from.choice("plan_is").as_deref() {
        Some("done") => {
            if on.is_none() && from.typed("done_on").is_empty() {
                from.refuse("done_on", t!("setup.accept_day"));
            }
            let entries = match before {
                PlanOutcome::Done { entries, .. } => entries.clone(),
                _ => Vec::new(),
            };
            let on = on.unwrap_or(from.today);
            PlanOutcome::Done { on, entries, seen }
        }
        Some("dropped") => PlanOutcome::Dropped { why },
        _ => {
            // What is typed beside "still open" would be lost without a word.
            for (name, typed) in [("seen", &seen), ("why", &why)] {
                if !typed.is_empty() {
                    from.refuse(name, t!("setup.accept_open"));
                }
            }
            if on.is_some() {
                from.refuse("done_on", t!("setup.accept_open"));
            }
            PlanOutcome::Open
        }
    }
}

pub(in crate::pages::setup) fn plan_fields(ink: &Ink<'_>) -> Markup {
    html! {
        (ink.text("what"))
        (ink.tanks("tanks"))
        (ink.field("from").date())
        (ink.field("expects").area(2))
        (part(t!("setup.part_routine"), &html! {
            p.muted { (t!("setup.routine_what")) }
            (row(&html! { (ink.select("act")) (ink.number("every_days")) (ink.field("until").date()) }))
        }))
        (part(t!("setup.part_outcome"), &html! {
            (row(&html! { (ink.select("plan_is")) (ink.field("done_on").date()) }))
            (ink.field("seen").area(2))
            (ink.text("why"))
        }))
    }
}
