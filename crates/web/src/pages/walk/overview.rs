//! A walk-round as a whole: its steps and values; once ended behind a mask, what the letters were;
//! and the helper's list of letters.

use answers::walk::{Row, StepView, step_view};
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::act::{Guess, MaskedBy};

use super::{WalkPage, end, how_scored};
use crate::WebError;
use crate::error::ErrorKind;
use crate::pages::words::{capital, day, said};
use crate::parts::button::{actions, link_button, primary_link};
use crate::parts::series::tank_name;
use crate::parts::shell::NavItem;

/// `{trial}/walk/{walk}`.
///
/// # Errors
/// Never by itself.
pub async fn show(at: WalkPage) -> Result<Markup, WebError> {
    let line = at.walking.line();
    let state = match line.finished {
        None => t!("walk.state_open", done = line.done, of = line.steps),
        Some(true) => t!("walk.state_finished", done = line.done, of = line.steps),
        Some(false) => t!("walk.state_left", done = line.done, of = line.steps),
    };
    let open = line.finished.is_none();
    let steps = 1..=line.steps;
    let views: Vec<StepView> = steps
        .filter_map(|n| step_view(&at.page.bench, &at.walking, n))
        .collect();
    let body = html! {
        p.state {
            (state)
            @if line.masked.is_some() { " " span.tag { (t!("walk.line_masked")) } }
        }
        @if open {
            (actions(&html! {
                (primary_link(&at.step_path(line.next), t!("walk.continue")))
                (link_button(&format!("{}/end", at.path()), t!("walk.end_title")))
            }))
            @if line.masked == Some(MaskedBy::Helper) {
                p { a href={ (at.path()) "/letters" } { (t!("walk.letters")) } }
            }
        } @else {
            (told(&at))
        }
        section.section {
            h2 { (t!("walk.overview")) }
            @if open { p.muted { (t!("walk.overview_lead")) } }
            ol.rows.walk-steps { @for view in &views { (step(&at, view, open)) } }
        }
        @if open { (end::way_out(&at)) } @else { (further(&at)) }
    };
    let title = t!("walk.title_day", day = day(line.day));
    let lead = Some(line.who.as_str()).filter(|w| !w.is_empty());
    let lead = lead.map(|who| t!("walk.scored_by", who = who));
    Ok(at.page.page(NavItem::Log, &title, lead.as_deref(), body))
}

fn step(at: &WalkPage, view: &StepView, open: bool) -> Markup {
    let title = t!(
        "walk.step_title",
        about = capital(&view.about),
        measure = view.measure
    );
    let title = said(&title, &at.page.bench);
    let values: Vec<String> = view.rows.iter().filter_map(|r| value(view, r)).collect();
    html! {
        li {
            @if open { a.rows-main href=(at.step_path(view.number)) { (title) } }
            @else { span.rows-main { (title) } }
            span.muted.num {
                @if values.is_empty() { (t!("walk.no_values")) } @else { (values.join(", ")) }
            }
        }
    }
}

/// A row's value with the name it has now.
fn value(view: &StepView, row: &Row) -> Option<String> {
    let saved = row.saved?;
    let value = view.shown(saved.value, &Format::default());
    Some(format!("{}\u{a0}{value}", row.name))
}

/// What the letters were, once it is told.
fn told(at: &WalkPage) -> Markup {
    let walk = &at.walking.walk;
    let Some(mask) = walk.masked else {
        return html! {};
    };
    let guess = |tank| walk.guesses().find(|g| g.tank == tank).copied();
    html! {
        section.section {
            h2 { (t!("walk.told")) }
            ul.rows {
                @for tank in &walk.order {
                    li {
                        span.rows-main {
                            strong { (t!("walk.letter", letter = walk.letter(*tank).unwrap_or_default())) }
                            " " (t!("walk.was")) " "
                            (tank_name(
                                at.page.bench.tank(*tank).map_or(0, |t| t.place),
                                &trial::describe::tanks_phrase(&[*tank], false, &at.page.bench),
                            ))
                        }
                        @if let Some(guess) = guess(*tank) { span.muted { (taken_for(at, guess)) } }
                    }
                }
            }
            p.muted.small { (t!("walk.seed", seed = mask.seed)) }
        }
    }
}

fn taken_for(at: &WalkPage, guess: Guess) -> String {
    match guess.guessed {
        None => t!("walk.told_unknown").to_owned(),
        Some(tank) if tank == guess.tank => t!("walk.told_right").to_owned(),
        Some(tank) => {
            let tank = trial::describe::tanks_phrase(&[tank], false, &at.page.bench);
            t!("walk.told_wrong", tank = tank)
        }
    }
}

fn further(at: &WalkPage) -> Markup {
    let scored = answers::walk::scored(&at.page.bench, &at.walking.entries, None);
    html! {
        (how_scored(&at.page, &scored.sentences))
        (actions(&html! {
            (link_button(&format!("{}/walk", at.page.path()), t!("walk.to_walks")))
            @if !at.page.app.is_for_device() {
                (link_button(&format!("{}/compare", at.page.path()), t!("walk.to_compare")))
            }
        }))
    }
}

/// `{trial}/walk/{walk}/letters`: which tank each letter is, for the helper.
///
/// # Errors
/// Refused for a walk-round without a helper that is still under way.
pub async fn letters(at: WalkPage) -> Result<Markup, WebError> {
    let walk = &at.walking.walk;
    let by = walk.masked.map(|m| m.by);
    if at.walking.hidden() && by != Some(MaskedBy::Helper) || by.is_none() {
        return Err(WebError::new(ErrorKind::Refused, t!("walk.letters_hidden"))
            .back_to(at.path(), t!("walk.overview")));
    }
    let body = html! {
        dl.walk-letters {
            @for tank in &walk.order {
                div {
                    dt { (walk.letter(*tank).unwrap_or_default()) }
                    dd {
                        (tank_name(
                            at.page.bench.tank(*tank).map_or(0, |t| t.place),
                            &trial::describe::tanks_phrase(&[*tank], false, &at.page.bench),
                        ))
                    }
                }
            }
        }
        p { a href=(at.path()) { (t!("walk.overview")) } }
    };
    let lead = Some(t!("walk.letters_lead"));
    Ok(at
        .page
        .page(NavItem::Log, t!("walk.letters_title"), lead, body))
}
