//! Every part once, with invented content. Shared by the example and the tests; the program itself
//! does not serve it.

use axum::Router;
use axum::extract::{Query, State};
use axum::routing::get;
use maud::{Markup, html};
use web::parts::button::{Button, actions, link_button, primary_link};
use web::parts::disclosure::{disclosure, method, working};
use web::parts::empty::empty;
use web::parts::form::{Field, error_summary, file_form, form, query_form, row};
use web::parts::interval::{IntervalText, Known, interval};
use web::parts::jot::{Jot, jot};
use web::parts::notice::{Weight, caution, done, finding, invented};
use web::parts::shell::{NavItem, PageHead, Theme, TrialLink, page};
use web::parts::table::{Column, Table};
use web::parts::tabs::{Tab, tabs};
use web::{App, Chosen, FieldErrors, FormData, FormState, WebError};

/// The gallery's pages.
pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/styleguide", get(show).post(send))
        .route("/styleguide/error", get(error_page))
        .route("/styleguide/jot/read", get(read_jot))
}

const TANKS: [(&str, &str); 4] = [
    ("ash", "Ash"),
    ("elm", "Elm"),
    ("fir", "Fir"),
    ("oak", "Oak"),
];
const KINDS: [(&str, &str); 6] = [
    ("dose", "Dose"),
    ("change", "Water change"),
    ("trim", "Trim"),
    ("feed", "Feed"),
    ("clean", "Clean"),
    ("note", "Note"),
];
const WATERS: [(&str, &str); 2] = [("tap", "Tap water"), ("rain", "Rain water")];

async fn show(State(app): State<App>, Query(query): Query<Vec<(String, String)>>) -> Markup {
    let query = FormData::from_pairs(query);
    let theme = match query.one("theme") {
        Some("dark") => Some(Theme::Dark),
        Some("light") => Some(Theme::Light),
        _ => None,
    };
    let state = if query.has("wrong") {
        read_entry(query).0
    } else {
        FormState::default()
    };
    gallery(app.token(), theme, &state, None)
}

async fn send(State(app): State<App>, data: FormData) -> Markup {
    let (state, said) = read_entry(data);
    gallery(app.token(), None, &state, said.as_deref())
}

fn read_entry(data: FormData) -> (FormState, Option<String>) {
    let mut errors = FieldErrors::default();
    let amount = errors.take(data.number("amount", "Amount", 0.0..=100.0));
    let tanks = errors.take(data.tanks("tank", "Tanks", &TANKS));
    errors.take(data.choice("kind", "What was done", &KINDS));
    errors.take(data.moment("at", "When"));
    errors.take(data.text_or_empty("note", "Note", 400));
    let said = amount
        .zip(tanks)
        .filter(|_| errors.is_empty())
        .map(|(amount, tanks)| match tanks {
            Chosen::Every => format!("{amount} ml noted for every tank."),
            Chosen::Only(names) => format!("{amount} ml noted for {}.", names.join(", ")),
        });
    (FormState { data, errors }, said)
}

async fn error_page() -> WebError {
    WebError::conflict("This entry was corrected in another window at 18:32; look at it first.")
        .back_to("/styleguide", "Back to the parts")
}

async fn read_jot(Query(query): Query<Vec<(String, String)>>) -> String {
    let query = FormData::from_pairs(query);
    format!("Understood: {}", query.one("line").unwrap_or_default())
}

/// The whole page.
pub(crate) fn gallery(
    token: &str,
    theme: Option<Theme>,
    state: &FormState,
    said: Option<&str>,
) -> Markup {
    let head = PageHead {
        title: "In the sand or in the water?",
        lead: Some(
            "Four equal tanks in a corridor; two fed through the sand, two through the water.",
        ),
        notebook: Some("Corridor notebook"),
        trial: Some(TrialLink {
            title: "In the sand or in the water?",
            path: "/trials/1",
        }),
        active: Some(NavItem::Bench),
        notice: Some(invented(
            "Tanks, people and numbers on this page are made up.",
        )),
        theme,
        ..PageHead::default()
    };
    let body = html! {
        (error_summary(&state.errors))
        @if let Some(said) = said { (done(said, Some(("/styleguide", "Undo")))) }
        (jot(&Jot {
            action: "/styleguide", read_url: "/styleguide/jot/read", token, line: "",
            reading: "", refused: false,
        }))
        (views())
        div.grid {
            div.span-7 { (entry_form(token, state)) }
            div.span-5 { (words()) }
        }
        (small_forms(token))
        (places())
        (colours())
    };
    page(&head, body)
}

fn views() -> Markup {
    let all = [
        Tab {
            label: "All tanks",
            href: "/styleguide",
            current: true,
        },
        Tab {
            label: "By arm",
            href: "/styleguide?view=arm",
            current: false,
        },
        Tab {
            label: "By phase",
            href: "/styleguide?view=phase",
            current: false,
        },
    ];
    let columns = [
        Column::words("Tank"),
        Column::words("Fed through"),
        Column::numbers("NO3", "mg/L"),
        Column::numbers("PO4", "mg/L"),
        Column::numbers("Carpet cover", "%"),
    ];
    let readings = Table::new("Last readings, week 11", &columns)
        .text_row(["Ash", "the sand", "3 to 6", "0.15 to 0.3", "41 to 49"])
        .text_row(["Elm", "the water", "6 to 12", "0.3 to 0.6", "55 to 63"])
        .text_row(["Fir", "the water", "12 to 24", "0.6 to 1.2", "52 to 61"])
        .text_row(["Oak", "the sand", "3 to 6", "at least 3", "38 to 47"]);
    html! {
        section.section {
            h2 { "Readings" }
            (tabs("Readings by", &all))
            div.grid {
                div.span-8 { (readings) }
                div.card.span-4 {
                    h3 { "Carpet cover, water less sand" }
                    p { (interval(&IntervalText {
                        known: Known::About("14", "4", "24"), unit: "points", level: Some("90 %"),
                    })) }
                    p.muted.small { "Two tanks per arm: a wide interval is to be expected." }
                    (working(&html! {
                        p { "Mean of the tanks of each arm in week 11, then their difference." }
                        p { "Four pictures, taken from the same place." }
                    }))
                }
            }
            (method(&html! { p { "Cover is measured in corrected pictures." } }))
        }
    }
}

fn entry_form(token: &str, state: &FormState) -> Markup {
    html! {
        section.section {
            h2 { "Log an entry" }
            (form("/styleguide", token, &html! {
                (Field::radio("kind", "What was done", &KINDS).value("dose").fill(state))
                (Field::tanks("tank", "Tanks", &TANKS)
                    .hint("What goes into one tank only is named as unequal treatment.").fill(state))
                (row(&html! {
                    (Field::number("amount", "Amount").unit("ml").hint("Per tank.").fill(state))
                    (Field::moment("at", "When").value("2026-03-01T18:30").fill(state))
                }))
                (Field::select("water", "Water", &WATERS).fill(state))
                (Field::area("note", "Note", 3).optional().fill(state))
                (actions(&html! {
                    (Button::new("Log it").primary())
                    (Button::new("Look at it first").sends("dry", "yes"))
                    (Button::new("Clear").quiet())
                }))
            }))
        }
    }
}

fn small_forms(token: &str) -> Markup {
    html! {
        section.section {
            h2 { "Other forms" }
            (query_form("/styleguide", &html! {
                (Field::date("from", "From").value("2026-01-01"))
                (Field::date("to", "To").value("2026-03-01"))
                (Button::new("Show"))
            }))
            (file_form("/styleguide", token, &html! {
                (Field::file("picture", "Picture", "image/*")
                    .hint("From the front, the whole pane in view."))
                (Field::checks("see", "In the picture", &[("card", "Colour card"), ("ruler", "Ruler")])
                    .optional())
                (actions(&html! {
                    (Button::new("Add the picture").primary())
                    (Button::new("Strike this entry").danger().confirm("Strike it? It stays in the history."))
                }))
            }))
        }
    }
}

fn words() -> Markup {
    html! {
        section.section {
            h2 { "Notices" }
            (caution("lamp and water", &html! {
                p { "Unplug the lamp before your hand goes into the tank." }
            }))
            (finding(Weight::Serious, "Fir was dosed twice on 4 May.",
                Some("Say so in the update; the ledger counts both doses.")))
            (finding(Weight::Doubt, "Oak: PO4 at least 3 mg/L cannot be right beside the week before.",
                Some("Repeat it with fresh reagent.")))
            (finding(Weight::Note, "Week 7 has no entries.", None))
        }
    }
}

fn places() -> Markup {
    let columns = [
        Column::words("Tank"),
        Column::words("What differs"),
        Column::words("Since"),
    ];
    let table = Table::new("Fair check", &columns)
        .text_row(["Elm", "Heater two degrees high for five days", "week 10"])
        .text_row(["Fir", "Dosed twice in one evening", "week 9"])
        .stacked();
    html! {
        section.section {
            h2 { "What is there and what is not yet" }
            (table)
            (disclosure("What the trial cannot tell", &html! {
                p { "Whether the lamp alone would have done the same." }
            }))
            (empty("Pictures of this week would stand here.",
                "Take one of each tank from the same place, in the same light.",
                &primary_link("/styleguide", "Add pictures")))
            p { (link_button("/styleguide/error", "Look at an error page")) }
        }
    }
}

fn colours() -> Markup {
    html! {
        section.section {
            h2 { "Colours of series" }
            svg viewBox="0 0 640 60" width="640" height="60" role="img" aria-label="Eight colours" {
                @for at in 1..=8_u16 {
                    rect class={ "series-" (at) } x=((at - 1) * 80) y="0" width="72" height="36" fill="currentColor" {}
                    text x=((at - 1) * 80) y="54" font-size="14" fill="currentColor" { (at) }
                }
            }
        }
    }
}
