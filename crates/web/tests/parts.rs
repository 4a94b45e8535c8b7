//! Typed text never reaches a page unescaped, whatever part it goes through.
//!
//! Rule checked: HTML standard, sections 13.1.2.3 and 13.1.2 (text and double-quoted attribute
//! values are safe once `&`, `<`, `>` and `"` are references). Each part is drawn twice, with the
//! text and with a harmless stand-in; put in place of the stand-in, the escaped text must give the
//! same markup.

use maud::{Markup, Render, html};
use proptest::prelude::*;
use web::parts::button::{Button, link_button, primary_link};
use web::parts::disclosure::disclosure;
use web::parts::empty::empty;
use web::parts::form::{Choice, Field, error_summary, form, hidden};
use web::parts::interval::{IntervalText, Known, interval};
use web::parts::jot::{Jot, jot};
use web::parts::notice::{Weight, caution, done, finding, invented};
use web::parts::shell::{NavItem, PageHead, TrialLink, page};
use web::parts::table::{Column, Table};
use web::parts::tabs::{Tab, tabs};
use web::{FieldError, FieldErrors, FormData, FormState, WebError};

const STAND_IN: &str = "zqstandinqz";

fn escaped(text: &str) -> String {
    text.chars().fold(String::new(), |mut out, c| {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other => out.push(other),
        }
        out
    })
}

fn state(text: &str) -> FormState {
    let mut errors = FieldErrors::default();
    errors.add(FieldError::new("x", text, text, text));
    FormState {
        data: FormData::from_pairs([("x", text), ("tank", text)]),
        errors,
    }
}

fn fields(text: &str) -> Markup {
    let state = state(text);
    let choices: [Choice<'_>; 2] = [(text, text), ("b", "B")];
    html! {
        (error_summary(&state.errors))
        (Field::text("x", text).hint(text).fill(&state))
        (Field::number("x", text).unit(text).hint(text).fill(&state))
        (Field::area("x", text, 3).optional().fill(&state))
        (Field::moment("x", text).fill(&state))
        (Field::date("x", text).value(text))
        (Field::file("x", text, text).fill(&state))
        (Field::select("x", text, &choices).fill(&state))
        (Field::radio("x", text, &choices).fill(&state))
        (Field::checks("x", text, &choices).fill(&state))
        (Field::tanks("tank", text, &choices).fill(&state))
        (form(text, text, &hidden("h", text)))
        (jot(&Jot { action: text, read_url: text, token: text, line: text, reading: text, refused: true }))
    }
}

fn others(text: &str) -> Markup {
    let columns = [Column::words(text), Column::numbers(text, text)];
    let known = [
        Known::Between(text, text),
        Known::About(text, text, text),
        Known::Not(text),
    ];
    html! {
        (Button::new(text).sends("n", text).confirm(text))
        (link_button(text, text)) (primary_link(text, text))
        (disclosure(text, &html! { (text) }))
        (empty(text, text, &html! { (text) }))
        @for known in known { (interval(&IntervalText { known, unit: text, level: Some(text) })) }
        (caution(text, &html! { (text) })) (invented(text))
        (finding(Weight::Doubt, text, Some(text))) (done(text, Some((text, text))))
        (Table::new(text, &columns).text_row([text, text]).stacked())
        (tabs(text, &[Tab { label: text, href: text, current: true }]))
    }
}

fn whole_page(text: &str) -> Markup {
    // Title and trial differ, or the window's title would drop one of them.
    let head = PageHead {
        title: text,
        lead: Some(text),
        notebook: Some(text),
        trial: Some(TrialLink {
            title: "Trial",
            path: text,
        }),
        active: Some(NavItem::Log),
        notice: Some(invented(text)),
        ..PageHead::default()
    };
    page(&head, html! { p { (text) } })
}

fn odd_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("<script>alert(1)</script>".to_owned()),
        Just("\" onfocus=\"x".to_owned()),
        Just("</textarea>".to_owned()),
        Just("</title><b>".to_owned()),
        Just("&lt;".to_owned()),
        Just("javascript:'x'".to_owned()),
        "[<>&\"' a-z=/;-]{1,8}",
        "\\PC{1,6}",
    ];
    // An error text quotes sixty characters; longer texts are the next test's.
    proptest::collection::vec(piece, 1..4)
        .prop_map(|pieces| pieces.concat().chars().take(60).collect::<String>())
}

proptest! {
    #[test]
    fn typed_text_is_always_escaped(text in odd_text()) {
        for draw in [fields, others, whole_page] {
            let expected = draw(STAND_IN).into_string().replace(STAND_IN, &escaped(&text));
            prop_assert_eq!(draw(&text).into_string(), expected);
        }
    }

    #[test]
    fn quoted_values_are_cut_between_characters(text in "\\PC{0,200}") {
        let said = FieldError::new("x", "Label", &text, "give less").to_string();
        prop_assert!(said.chars().count() <= 120);
        let markup = error_summary(&state(&text).errors).into_string();
        prop_assert!(!markup.contains("<script"));
    }

    #[test]
    fn what_was_typed_comes_back_as_typed(text in odd_text()) {
        let body: String = form_urlencoded::Serializer::new(String::new())
            .append_pair("x", &text).append_pair("x", "second").finish();
        let data = FormData::parse(body.as_bytes()).unwrap();
        prop_assert_eq!(data.one("x"), Some(text.as_str()));
        let state = FormState::filled(data);
        let shown = Field::text("x", "X").fill(&state).render().into_string();
        let value = format!("value=\"{}\"", escaped(&text));
        prop_assert!(shown.contains(&value), "{}", shown);
    }
}

#[test]
fn errors_are_tied_to_their_fields() {
    let state = state("a");
    let shown = Field::number("x", "Amount")
        .unit("ml")
        .hint("Per tank.")
        .fill(&state)
        .render()
        .into_string();
    for part in [
        r#"<label for="f-x">Amount</label>"#,
        r#"aria-describedby="f-x-hint f-x-error f-x-unit""#,
        r#"aria-invalid="true""#,
        r#"inputmode="decimal""#,
        r#"id="f-x-hint""#,
        r#"id="f-x-error""#,
        r#"id="f-x-unit""#,
        r#"value="a""#,
    ] {
        assert!(shown.contains(part), "{part} in {shown}");
    }
    let summary = error_summary(&state.errors).into_string();
    assert!(
        summary.contains(r##"role="alert""##) && summary.contains(r##"href="#f-x""##),
        "{summary}"
    );
    let good = Field::number("x", "Amount")
        .value("5")
        .render()
        .into_string();
    assert!(
        !good.contains("aria-invalid") && !good.contains("aria-describedby"),
        "{good}"
    );
    assert_eq!(error_summary(&FieldErrors::default()).into_string(), "");
}

#[test]
fn every_tank_is_ticked_until_the_form_says_otherwise() {
    let tanks = [("ash", "Ash"), ("elm", "Elm")];
    let ticked = |state: &FormState| {
        let shown = Field::tanks("tank", "Tanks", &tanks)
            .fill(state)
            .render()
            .into_string();
        shown
            .split("<input")
            .filter(|part| part.contains(" checked"))
            .count()
    };
    assert_eq!(ticked(&FormState::default()), 1);
    assert_eq!(
        ticked(&FormState::filled(FormData::from_pairs([
            ("tank", "ash"),
            ("tank", "elm")
        ]))),
        2
    );
    assert_eq!(
        ticked(&FormState::filled(FormData::from_pairs([(
            "note",
            "none ticked"
        )]))),
        0
    );
}

#[test]
fn error_pages_say_one_sentence_and_a_way_back() {
    use axum::response::IntoResponse;
    for (error, status) in [
        (WebError::not_found("There is no trial <7>."), 404),
        (WebError::bad_input("Light: <7> is not accepted."), 400),
        (WebError::conflict("This was <7> meanwhile."), 409),
    ] {
        let response = error
            .clone()
            .back_to("/trials/1/bench", "Back to the bench")
            .into_response();
        assert_eq!(response.status().as_u16(), status);
        let body = axum::body::to_bytes(response.into_body(), 1 << 20);
        let runtime = tokio::runtime::Builder::new_current_thread()
            .build()
            .unwrap();
        let text = String::from_utf8(runtime.block_on(body).unwrap().to_vec()).unwrap();
        assert!(text.contains(&escaped(&error.to_string())), "{text}");
        assert!(
            text.contains(r#"href="/trials/1/bench">Back to the bench</a>"#),
            "{text}"
        );
    }
}
