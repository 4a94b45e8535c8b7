//! Trims, thinnings, losses, plantlets, moves and harvests.

use maud::{Markup, html};
use text::t;
use trial::act::{DriedSample, Fate, Harvest, Loss, Move, Plantlets, Thin, Trim};
use trial::{Bench, PlantingId, TankId};

use super::super::kit::Kit;
use super::super::reader::Reader;
use crate::parts::fields::{Pairs, Pick, Words, picks, planting_picks, short_row, tank_picks};

/// Every plant of the trial once, by its title: one choice means it in each tank chosen.
fn titles(bench: &Bench) -> Vec<Pick> {
    let mut titles: Vec<String> = bench.plantings.iter().map(|p| p.title()).collect();
    titles.sort();
    titles.dedup();
    titles.into_iter().map(|t| (t.clone(), t)).collect()
}

/// The plantings of the plants chosen that stand in these tanks.
fn plantings(r: &mut Reader<'_>, tanks: &[TankId]) -> Vec<PlantingId> {
    let wanted: Vec<&str> = r.data.all("plants").collect();
    let all = r.bench.plantings.iter();
    all.filter(|p| tanks.contains(&p.tank) && wanted.contains(&p.title().as_str()))
        .map(|p| p.id)
        .collect()
}

fn fill_titles(p: &mut Pairs, ids: &[PlantingId], bench: &Bench) {
    let mut titles: Vec<String> = Vec::new();
    for planting in ids.iter().filter_map(|id| bench.planting(*id)) {
        let title = planting.title();
        if !titles.contains(&title) {
            p.put("plants", &title);
            titles.push(title);
        }
    }
}

const DRIED: [&str; 2] = ["dried_fresh_g", "dried_dry_g"];

pub(super) fn draw_trim(kit: Kit<'_>) -> Markup {
    let rare = html! {
        (short_row(&html! { @for name in DRIED { (kit.may(name).number("g")) } }))
        (kit.may("left_out").checks(&planting_picks(kit.bench)))
    };
    html! {
        (kit.must("plants").radio(&titles(kit.bench)))
        (short_row(&html! { (kit.may("kept_share").number("%")) (kit.may("out_fresh_g").number("g")) }))
        (kit.more(t!("log.more_trim"), &[DRIED[0], DRIED[1], "left_out"], &rare))
    }
}

pub(super) fn read_trim(r: &mut Reader<'_>, tanks: &[TankId]) -> Trim {
    let plantings = plantings(r, tanks);
    let dried = match (r.typed(DRIED[0]), r.typed(DRIED[1])) {
        ("", "") => None,
        _ => {
            let (fresh, dry) = (r.number(DRIED[0]), r.number(DRIED[1]));
            fresh.zip(dry)
        }
    };
    let left = r.data.all("left_out").filter_map(|id| id.parse().ok());
    Trim {
        plantings,
        kept_share: r.maybe_share("kept_share"),
        out_fresh_g: r.maybe("out_fresh_g"),
        dried: dried.map(|(fresh_g, dry_g)| DriedSample { fresh_g, dry_g }),
        left_out: left.collect(),
    }
}

pub(super) fn fill_trim(p: &mut Pairs, trim: &Trim, bench: &Bench) {
    fill_titles(p, &trim.plantings, bench);
    p.share("kept_share", trim.kept_share);
    p.number("out_fresh_g", trim.out_fresh_g);
    p.number(DRIED[0], trim.dried.map(|d| d.fresh_g));
    p.number(DRIED[1], trim.dried.map(|d| d.dry_g));
    for id in &trim.left_out {
        p.put("left_out", id);
    }
}

pub(super) fn draw_thin(kit: Kit<'_>) -> Markup {
    html! {
        (kit.must("plants").checks(&titles(kit.bench)))
        (short_row(&html! { (kit.may("kept_share").number("%")) (kit.may("out_fresh_g").number("g")) }))
    }
}

pub(super) fn read_thin(r: &mut Reader<'_>, tanks: &[TankId]) -> Thin {
    Thin {
        plantings: plantings(r, tanks),
        kept_share: r.maybe_share("kept_share"),
        out_fresh_g: r.maybe("out_fresh_g"),
    }
}

pub(super) fn fill_thin(p: &mut Pairs, thin: &Thin, bench: &Bench) {
    fill_titles(p, &thin.plantings, bench);
    p.share("kept_share", thin.kept_share);
    p.number("out_fresh_g", thin.out_fresh_g);
}

fn planting(r: &mut Reader<'_>) -> Option<PlantingId> {
    r.id("planting", &planting_picks(r.bench))
}

fn yes_no() -> Vec<Pick> {
    picks(&[("yes", t!("log.lost_whole")), ("no", t!("log.lost_part"))])
}

pub(super) fn draw_loss(kit: Kit<'_>) -> Markup {
    html! {
        (kit.select("planting", &planting_picks(kit.bench)))
        (kit.must("whole").radio(&yes_no()))
        (kit.may("stems").number(""))
    }
}

pub(super) fn read_loss(r: &mut Reader<'_>) -> Option<Loss> {
    let planting = planting(r);
    let whole = r.choice("whole", &yes_no());
    let stems = r.maybe_count("stems");
    Some(Loss {
        planting: planting?,
        whole: whole? == "yes",
        stems,
    })
}

pub(super) fn fill_loss(p: &mut Pairs, loss: &Loss) {
    p.put("planting", loss.planting);
    p.put("whole", if loss.whole { "yes" } else { "no" });
    p.maybe("stems", loss.stems);
}

pub(super) fn draw_plantlets(kit: Kit<'_>) -> Markup {
    html! {
        (kit.select("planting", &planting_picks(kit.bench)))
        (kit.must("count").number(""))
    }
}

pub(super) fn read_plantlets(r: &mut Reader<'_>) -> Option<Plantlets> {
    let (planting, count) = (planting(r), r.count("count", 0));
    Some(Plantlets {
        planting: planting?,
        count: count?,
    })
}

pub(super) fn fill_plantlets(p: &mut Pairs, plantlets: &Plantlets) {
    p.put("planting", plantlets.planting);
    p.put("count", plantlets.count);
}

fn destinations(bench: &Bench) -> Vec<Pick> {
    let mut to = tank_picks(bench);
    to.push(("out".to_owned(), t!("log.moved_out").to_owned()));
    to
}

pub(super) fn draw_move(kit: Kit<'_>) -> Markup {
    html! {
        (kit.select("planting", &planting_picks(kit.bench)))
        (kit.must("to").radio(&destinations(kit.bench)))
        (short_row(&html! { (kit.may("share").number("%")) (kit.may("fresh_g").number("g")) }))
    }
}

pub(super) fn read_move(r: &mut Reader<'_>) -> Option<Move> {
    let planting = planting(r);
    let to = r.choice("to", &destinations(r.bench));
    let (share, fresh_g) = (r.maybe_share("share"), r.maybe("fresh_g"));
    Some(Move {
        planting: planting?,
        to: match to?.as_str() {
            "out" => None,
            tank => Some(tank.parse().ok()?),
        },
        share,
        fresh_g,
    })
}

pub(super) fn fill_move(p: &mut Pairs, moved: &Move) {
    p.put("planting", moved.planting);
    p.put("to", moved.to.map_or("out".to_owned(), |t| t.to_string()));
    p.share("share", moved.share);
    p.number("fresh_g", moved.fresh_g);
}

const FATES: Words<Fate> = Words(
    "log.fate",
    &[
        (Fate::PlantedBack, "planted_back"),
        (Fate::Rehomed, "rehomed"),
        (Fate::Disposed, "disposed"),
    ],
);

pub(super) fn draw_harvest(kit: Kit<'_>) -> Markup {
    html! {
        (kit.select("planting", &planting_picks(kit.bench)))
        (short_row(&html! { (kit.may("fresh_g").number("g")) (kit.may("dry_g").number("g")) }))
        (kit.must("fate").radio(&FATES.picks()))
    }
}

pub(super) fn read_harvest(r: &mut Reader<'_>) -> Option<Harvest> {
    let planting = planting(r);
    let (fresh_g, dry_g) = (r.maybe("fresh_g"), r.maybe("dry_g"));
    let fate = r.choice("fate", &FATES.picks())?;
    Some(Harvest {
        planting: planting?,
        fresh_g,
        dry_g,
        fate: FATES.value(&fate)?,
    })
}

pub(super) fn fill_harvest(p: &mut Pairs, harvest: &Harvest) {
    p.put("planting", harvest.planting);
    p.number("fresh_g", harvest.fresh_g);
    p.number("dry_g", harvest.dry_g);
    p.put("fate", FATES.key(harvest.fate));
}
