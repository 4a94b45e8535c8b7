//! Walk-rounds as a browser without scripts sees them: begun, saved step by step, left and taken up
//! again, masked and told. All invented.

#![allow(clippy::unwrap_used)]

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::{Answer, Browser, fields_of};
use fixture::{Desk, MOSS, PLANT, TANKS, refs, with};
use trial::act::{Guess, Walk};
use trial::types::Measure;
use trial::{Act, Entry, TankId};

/// Begins a walk-round; gives the address of the walk-round.
async fn begin(desk: &Desk, b: &Browser<'_>, set: &[(&str, &str)]) -> String {
    let path = desk.at("/walk");
    let page = b.get(&path).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    let fields = with(&fields_of(&page.body, &path), set);
    let begun = b.post(&path, &refs(&fields)).await;
    assert_eq!(begun.status, StatusCode::SEE_OTHER, "{}", begun.body);
    let again = b.post(&path, &refs(&fields)).await;
    assert_eq!(
        again.location, begun.location,
        "a form sent twice begins once"
    );
    begun.location.strip_suffix("/1").unwrap().to_owned()
}

async fn send(b: &Browser<'_>, path: &str, set: &[(&str, &str)]) -> Answer {
    let page = b.get(path).await;
    assert_eq!(page.status, StatusCode::OK, "{path}: {}", page.body);
    let fields = with(&fields_of(&page.body, path), set);
    b.post(path, &refs(&fields)).await
}

fn walk_of(desk: &Desk) -> Walk {
    let all = desk.entries().into_iter();
    let mut walks = all.filter_map(|e| match e.act {
        Act::Walk(walk) => Some(walk),
        _ => None,
    });
    walks.next_back().unwrap()
}

fn looks(desk: &Desk) -> Vec<Entry> {
    let looked = |e: &Entry| matches!(e.act, Act::Observation(_) | Act::Algae(_));
    desk.entries().into_iter().filter(looked).collect()
}

fn vigours(desk: &Desk) -> Vec<(TankId, f64)> {
    let vigour = |e: Entry| match e.act {
        Act::Observation(o) => Some((e.tanks[0], o.vigour?)),
        _ => None,
    };
    looks(desk).into_iter().filter_map(vigour).collect()
}

#[tokio::test]
async fn a_step_saves_one_entry_for_each_tank_and_a_resend_none() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let walk = begin(&desk, &b, &[("length", "short")]).await;
    let first = format!("{walk}/1");
    let page = b.get(&first).await;
    assert!(page.has(PLANT) && TANKS.iter().all(|t| page.has(t)));
    // The anchors of docs/scores.md stand beside the scores.
    assert!(page.has("growing steadily, nearly every leaf sound"));
    assert!(!page.has("onclick=") && !page.has("style=\"") && !page.has("<script>"));
    let set = [("v0", "7"), ("v1", "8"), ("v2", "")];
    let fields = with(&fields_of(&page.body, &first), &set);
    let saved = b.post(&first, &refs(&fields)).await;
    assert_eq!(saved.location, format!("{walk}/2"));
    let (ash, elm) = (desk.tank("Ash"), desk.tank("Elm"));
    assert_eq!(vigours(&desk), [(ash, 7.0), (elm, 8.0)]);
    let written = desk.written();
    b.post(&first, &refs(&fields)).await;
    assert_eq!(desk.written(), written);
    // The same form with another value, as after the browser's way back: corrected, not doubled.
    let fields = with(&fields, &[("v0", "6")]);
    b.post(&first, &refs(&fields)).await;
    assert_eq!(desk.written(), written + 1);
    let mut now = vigours(&desk);
    now.sort_by_key(|(tank, _)| *tank != ash);
    assert_eq!(now, [(ash, 6.0), (elm, 8.0)]);
    // Opened again it holds what is saved; left out, a value is taken back.
    let page = b.get(&first).await;
    let shown = fields_of(&page.body, &first);
    assert!(shown.contains(&("v0".into(), "6".into())));
    send(&b, &first, &[("v0", "")]).await;
    assert_eq!(vigours(&desk), [(elm, 8.0)]);
    let on = looks(&desk).remove(0);
    let Act::Observation(o) = on.act else {
        panic!()
    };
    let on = o.on_walk.unwrap();
    assert!(walk.ends_with(&on.walk.to_string()) && !on.masked && !on.as_last);
}

#[tokio::test]
async fn nothing_typed_is_lost_and_nothing_half_saved() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let walk = begin(&desk, &b, &[("length", "full")]).await;
    let steps = walk_of(&desk).steps;
    let height = steps.iter().position(|s| s.measure == Measure::Height);
    let step = format!("{walk}/{}", height.unwrap() + 1);
    let refused = send(&b, &step, &[("v0", "12,5"), ("v1", "tall")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.has("value=\"12,5\"") && refused.has("value=\"tall\""));
    assert!(
        refused.has("Elm: \u{201c}tall\u{201d} is not accepted; give a number from 0.1 to 300")
    );
    assert!(refused.has("href=\"#f-v1\"") && refused.has("id=\"f-v1\""));
    assert!(looks(&desk).is_empty());
    let bad_score = send(&b, &format!("{walk}/1"), &[("v0", "11"), ("v1", "3")]).await;
    assert!(
        bad_score.has("a whole score from 0 to 10"),
        "{}",
        bad_score.body
    );
    let no_last = send(&b, &format!("{walk}/1"), &[("v0", "last")]).await;
    assert_eq!(no_last.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(looks(&desk).is_empty());
    let saved = send(&b, &step, &[("v0", "12,5"), ("v1", "14")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER);
    let typed: Vec<f64> = looks(&desk)
        .iter()
        .filter_map(|e| match &e.act {
            Act::Observation(o) => o.height_cm,
            _ => None,
        })
        .collect();
    assert_eq!(typed, [12.5, 14.0]);
}

#[tokio::test]
async fn as_last_time_is_one_touch_for_one_tank_or_all() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let walk = begin(&desk, &b, &[("length", "short")]).await;
    send(
        &b,
        &format!("{walk}/1"),
        &[("v0", "7"), ("v1", "4"), ("v2", "9")],
    )
    .await;
    send(&b, &format!("{walk}/end"), &[("minutes", "6")]).await;
    let walk = begin(&desk, &b, &[("length", "short")]).await;
    let step = format!("{walk}/1");
    let page = b.get(&step).await;
    assert!(page.has("As last time: 7") && page.has("All as last time"));
    // One tank has changed; the others are as they were.
    let saved = send(&b, &step, &[("v1", "5"), ("do", "last")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER);
    let id = walk_of(&desk).walk;
    let now: Vec<(f64, bool)> = looks(&desk)
        .iter()
        .filter_map(|e| match &e.act {
            Act::Observation(o) => {
                let on = o.on_walk.filter(|on| on.walk == id)?;
                Some((o.vigour?, on.as_last))
            }
            _ => None,
        })
        .collect();
    assert_eq!(now, [(7.0, true), (5.0, false), (9.0, true)]);
    // Opened again, "as last time" is still what is chosen.
    let page = b.get(&step).await;
    assert!(fields_of(&page.body, &step).contains(&("v0".into(), "last".into())));
}

#[tokio::test]
async fn it_can_be_left_and_taken_up_again() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let walk = begin(&desk, &b, &[("length", "usual")]).await;
    send(&b, &format!("{walk}/1"), &[("v0", "7")]).await;
    let list = b.get(&desk.at("/walk")).await;
    assert!(list.has("Under way") && list.has(&format!("href=\"{walk}/2\"")));
    let overview = b.get(&walk).await;
    assert!(overview.has("Ash\u{a0}7") && overview.has("1 of "));
    assert!(overview.has(&format!("action=\"{walk}/leave\"")));
    let left = b.post(&format!("{walk}/leave"), &[]).await;
    assert_eq!(left.location, walk);
    let end = walk_of(&desk).end.unwrap();
    assert!(!end.finished && end.guesses.is_empty());
    assert_eq!(b.get(&format!("{walk}/2")).await.location, walk);
    let late = b.post(&format!("{walk}/2"), &[("v0", "3")]).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert_eq!(looks(&desk).len(), 1);
    let list = b.get(&desk.at("/walk")).await;
    assert!(!list.has("Under way since") && list.has("left"));
}

/// While a masked walk goes on, no page of it names a tank, but for the choices of the guess.
async fn nothing_names_a_tank(b: &Browser<'_>, walk: &str, order: &[TankId]) {
    for page in ["/1", "/2", "/end", ""] {
        let page = b.get(&format!("{walk}{page}")).await;
        let main = page.body.split("<main").nth(1).unwrap();
        let guessing = main.contains("Tank A was");
        for tank in TANKS {
            assert_eq!(main.contains(tank), guessing, "{main}");
        }
        assert!(!main.contains("As last time") && !main.contains("series-"));
        for tank in order {
            assert!(guessing || !main.contains(&tank.to_string()));
        }
    }
}

#[tokio::test]
async fn behind_a_mask_names_come_only_after_the_guesses() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let open = begin(&desk, &b, &[("length", "short")]).await;
    send(
        &b,
        &format!("{open}/1"),
        &[("v0", "1"), ("v1", "2"), ("v2", "3")],
    )
    .await;
    send(&b, &format!("{open}/end"), &[]).await;
    let walk = begin(&desk, &b, &[("length", "short"), ("masked", "helper")]).await;
    let order = walk_of(&desk).order;
    nothing_names_a_tank(&b, &walk, &order).await;
    let letters = b.get(&format!("{walk}/letters")).await;
    assert!(TANKS.iter().all(|t| letters.has(t)));
    send(
        &b,
        &format!("{walk}/1"),
        &[("v0", "6"), ("v1", "7"), ("v2", "8")],
    )
    .await;
    let seen = looks(&desk).split_off(3);
    // Letter A is the first of the lot: its value belongs to that tank.
    let tanks: Vec<TankId> = seen.iter().map(|e| e.tanks[0]).collect();
    assert_eq!(tanks, order);
    for e in &seen {
        let Act::Observation(o) = &e.act else {
            panic!()
        };
        assert!(o.on_walk.unwrap().masked);
    }
    let missing = send(&b, &format!("{walk}/end"), &[("guess-A", "-")]).await;
    assert_eq!(missing.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(missing.has("Tank B was is empty"), "{}", missing.body);
    let guess = order.iter().map(ToString::to_string).collect::<Vec<_>>();
    let set = [
        ("guess-A", guess[0].as_str()),
        ("guess-B", guess[1].as_str()),
        ("guess-C", "-"),
        ("minutes", "4"),
    ];
    let told = send(&b, &format!("{walk}/end"), &set).await;
    assert_eq!(told.location, walk);
    let end = walk_of(&desk).end.unwrap();
    let expected = |n: usize, guessed| Guess {
        tank: order[n],
        guessed,
    };
    assert_eq!(
        end.guesses,
        [
            expected(0, Some(order[0])),
            expected(1, Some(order[1])),
            expected(2, None)
        ]
    );
    let page = b.get(&walk).await;
    assert!(TANKS.iter().all(|t| page.has(t)) && page.has("named rightly"));
    let rate = "the keeper named the tank rightly 2 of 3 times";
    assert!(page.has(rate), "{}", page.body);
    let compare = b.get(&desk.at("/compare")).await;
    assert!(compare.has(rate) && compare.has("3 of them with the tanks"));
}

#[tokio::test]
async fn what_was_told_cannot_be_guessed_anew() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let walk = begin(&desk, &b, &[("length", "short"), ("masked", "helper")]).await;
    let set = [("guess-A", "-"), ("guess-B", "-"), ("guess-C", "-")];
    send(&b, &format!("{walk}/end"), &set).await;
    let ended = desk.entries().pop().unwrap();
    let undo = desk.at(&format!("/entries/{}/undo", ended.id));
    assert_eq!(b.post(&undo, &[]).await.status, StatusCode::BAD_REQUEST);
    let begun = ended.supersedes.unwrap();
    let restore = desk.at(&format!("/entries/{begun}/restore"));
    assert_eq!(b.post(&restore, &[]).await.status, StatusCode::BAD_REQUEST);
    let again = b
        .post(&format!("{walk}/end"), &set.map(|(n, _)| (n, "-")))
        .await;
    assert_eq!(again.location, walk);
    assert_eq!(desk.entries().pop().unwrap().id, ended.id);
}

#[tokio::test]
async fn pictures_must_be_there_before_they_can_mask() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let path = desk.at("/walk");
    let refused = send(&b, &path, &[("masked", "pictures")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused.has("a front picture of every tank"),
        "{}",
        refused.body
    );
    assert!(desk.entries().is_empty());
    // The list of letters is for a helper only.
    let open = begin(&desk, &b, &[("masked", "no")]).await;
    let letters = b.get(&format!("{open}/letters")).await;
    assert_eq!(letters.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn unknown_addresses_and_other_plants() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let walk = begin(&desk, &b, &[("length", "short")]).await;
    for n in ["0", "3", "x", "-1", "99999999999999999999"] {
        let page = b.get(&format!("{walk}/{n}")).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{n}");
    }
    // The moss stands in two tanks only.
    let page = b.get(&format!("{walk}/2")).await;
    assert!(page.has(MOSS) && page.has("name=\"v1\"") && !page.has("name=\"v2\""));
    let other = Desk::new();
    let id = walk.rsplit('/').next().unwrap();
    let elsewhere = Browser::new(&other.app).await;
    let page = elsewhere.get(&other.at(&format!("/walk/{id}"))).await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn other_pages_lead_to_it() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let link = format!("href=\"{}\"", desk.at("/walk"));
    for page in ["/log", "/bench"] {
        assert!(b.get(&desk.at(page)).await.has(&link), "{page}");
    }
    assert_eq!(
        b.get(&desk.at("/log/walk")).await.location,
        desk.at("/walk")
    );
}
