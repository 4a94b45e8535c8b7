//! The frame of every page: head, header with the way around, main part, footer.

use maud::{DOCTYPE, Markup, html};

use super::icon::Icon;
use crate::assets;
use text::t;

/// The pages of a trial, in the order they are offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NavItem {
    /// The tanks of the trial side by side.
    Bench,
    /// What was done.
    Log,
    /// What was measured.
    Readings,
    /// Tanks and plants beside each other.
    Compare,
    /// What is published.
    Update,
    /// The life of each planting.
    Plants,
    /// What was seen by the camera.
    Pictures,
    /// Question, tanks, treatment.
    SetUp,
    /// Every entry, plan and phase over time.
    Timeline,
    /// What is due and what was planned.
    Plans,
    /// The paper filled in at the tanks.
    Sheet,
    /// What each tank got.
    Treatment,
    /// Money and work.
    Costs,
    /// Everything that was written, with its corrections.
    History,
    /// Where people or animals can be hurt.
    Cautions,
    /// What goes in and out as files.
    Files,
}

impl NavItem {
    /// The five in the bar at the foot of a phone.
    const MAIN: [Self; 5] = [
        Self::Bench,
        Self::Log,
        Self::Readings,
        Self::Compare,
        Self::Update,
    ];
    /// Those behind "More" there; at a desk the first of them stand beside the five.
    const REST: [Self; 11] = [
        Self::Plants,
        Self::Timeline,
        Self::Pictures,
        Self::SetUp,
        Self::Plans,
        Self::Sheet,
        Self::Treatment,
        Self::Costs,
        Self::History,
        Self::Cautions,
        Self::Files,
    ];

    /// How many of them a desk has room for.
    const NEAR: usize = 5;

    /// Those of a paired device, which may only log.
    const DEVICE: [Self; 3] = [Self::Log, Self::Pictures, Self::Sheet];

    /// Its label.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Bench => "Bench",
            Self::Log => "Log",
            Self::Readings => "Readings",
            Self::Compare => "Compare",
            Self::Update => "Update",
            Self::Plants => "Plants",
            Self::Pictures => "Pictures",
            Self::SetUp => "Set-up",
            Self::Timeline => "Timeline",
            Self::Plans => "Plans",
            Self::Sheet => t!("sheet.nav"),
            Self::Treatment => "Treatment",
            Self::Costs => "Costs",
            Self::History => t!("history.nav"),
            Self::Cautions => "Cautions",
            Self::Files => "Files",
        }
    }

    /// Its address within a trial, to be joined to the trial's own: `/trials/ID` + `/bench`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Bench => "bench",
            Self::Log => "log",
            Self::Readings => "readings",
            Self::Compare => "compare",
            Self::Update => "update",
            Self::Plants => "plants",
            Self::Pictures => "pictures",
            Self::SetUp => "setup",
            Self::Timeline => "timeline",
            Self::Plans => "plans",
            Self::Sheet => "sheet",
            Self::Treatment => "treatment",
            Self::Costs => "costs",
            Self::History => "history",
            Self::Cautions => "cautions",
            Self::Files => "files",
        }
    }

    fn icon(self) -> Icon {
        match self {
            Self::Bench => Icon::Bench,
            Self::Log => Icon::Log,
            Self::Readings => Icon::Readings,
            Self::Compare => Icon::Compare,
            Self::Update => Icon::Update,
            _ => Icon::More,
        }
    }
}

/// A theme asked for by the page itself (elsewhere the reader's device decides).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Theme {
    /// Dark ink on paper.
    Light,
    /// Light ink on deep water.
    Dark,
}

impl Theme {
    fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// The trial a page belongs to.
#[derive(Debug, Clone, Copy)]
pub struct TrialLink<'a> {
    /// Its title.
    pub title: &'a str,
    /// Its address without a slash at the end: `/trials/ID`.
    pub path: &'a str,
}

/// What the frame needs to know of a page.
#[derive(Debug, Clone, Default)]
pub struct PageHead<'a> {
    /// The page's heading, also the first part of the window's title.
    pub title: &'a str,
    /// The heading as it is set, when it is more than plain text: a species in italics.
    pub heading: Option<Markup>,
    /// One sentence under the heading.
    pub lead: Option<&'a str>,
    /// The notebook's name; "Fairtank" when there is none.
    pub notebook: Option<&'a str>,
    /// The trial, which brings the way around.
    pub trial: Option<TrialLink<'a>>,
    /// Where in it we are.
    pub active: Option<NavItem>,
    /// A band above the page, such as [`super::notice::invented`].
    pub notice: Option<Markup>,
    /// Names of further script modules among the assets.
    pub modules: &'a [&'a str],
    /// A fixed theme.
    pub theme: Option<Theme>,
    /// Whether a paired device shows it, which may only log.
    pub on_device: bool,
    /// Seconds after which the page asks for itself again, for pages that wait for something.
    pub again_in: Option<u32>,
}

/// A whole page.
pub fn page(head: &PageHead<'_>, body: Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-theme=[head.theme.map(Theme::word)] {
            (document_head(head))
            body.has-nav[head.trial.is_some()] {
                a.skip href="#main" { "Skip to the page" }
                (header(head))
                @if let Some(notice) = &head.notice { aside.band aria-label=(t!("shell.about_data")) { div.wrap { (notice) } } }
                main.wrap id="main" tabindex="-1" {
                    div.page-title {
                        h1 { @match &head.heading { Some(set) => (set), None => (head.title) } }
                        @if let Some(lead) = head.lead { p.lead { (lead) } }
                    }
                    (body)
                }
                (footer(head))
            }
        }
    }
}

fn document_head(head: &PageHead<'_>) -> Markup {
    let place = head
        .trial
        .map(|trial| trial.title)
        .or(head.notebook)
        .filter(|place| *place != head.title);
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover";
            meta name="color-scheme" content="light dark";
            @if let Some(seconds) = head.again_in {
                @let again = html! { meta http-equiv="refresh" content=(seconds); };
                // Where a script of the page watches, it is asked for again by that alone.
                @if head.modules.is_empty() { (again) } @else { noscript { (again) } }
            }
            title {
                (head.title) @if let Some(place) = place { " \u{2013} " (place) } " \u{2013} Fairtank"
            }
            link rel="icon" type="image/svg+xml" href=(assets::url("mark.svg"));
            link rel="stylesheet" href=(assets::url("chart.css"));
            link rel="stylesheet" href=(assets::url("fairtank.css"));
            // Not a module: it must run before the first paint, or a dark room sees a white flash.
            script src=(assets::url("theme.js")) {}
            script type="module" src=(assets::url("app.js")) {}
            @for module in head.modules { script type="module" src=(assets::url(module)) {} }
        }
    }
}

fn header(head: &PageHead<'_>) -> Markup {
    html! {
        header.top {
            div.wrap.top-row {
                a.brand href="/" { (mark()) span.brand-name { (head.notebook.unwrap_or("Fairtank")) } }
                @if let Some(trial) = head.trial { span.top-trial { (trial.title) } }
            }
            @if let Some(trial) = head.trial { (way_around(trial, head.active, head.on_device)) }
        }
    }
}

/// Two tanks filled to the same line.
fn mark() -> Markup {
    html! {
        svg.mark viewBox="0 0 30 20" width="30" height="20" fill="none" aria-hidden="true" focusable="false" {
            path.mark-water d="M1.5 8h11v10.5h-11zM17.5 8h11v10.5h-11z" fill="currentColor" {}
            path d="M1.5 1.5v17h11v-17M17.5 1.5v17h11v-17" stroke="currentColor" stroke-width="1.6"
                stroke-linecap="round" stroke-linejoin="round" {}
        }
    }
}

fn way_around(trial: TrialLink<'_>, active: Option<NavItem>, on_device: bool) -> Markup {
    let link = |item: NavItem| {
        let current = (active == Some(item)).then_some("page");
        html! {
            a href={ (trial.path) "/" (item.word()) } aria-current=[current] {
                @if on_device || NavItem::MAIN.contains(&item) { (item.icon()) }
                span { (item.label()) }
            }
        }
    };
    if on_device {
        return html! {
            nav.way aria-label="Trial" {
                ul.wrap { @for item in NavItem::DEVICE { li { (link(item)) } } }
            }
        };
    }
    let (near, far) = NavItem::REST.split_at(NavItem::NEAR);
    let is_in = |items: &[NavItem]| active.is_some_and(|item| items.contains(&item));
    // On a phone "More" holds all the rest, at a desk what stands far; the style sheet shows which.
    let current = match (is_in(near), is_in(far)) {
        (true, _) => Some("is-current is-near"),
        (_, true) => Some("is-current"),
        _ => None,
    };
    html! {
        nav.way aria-label="Trial" {
            ul.wrap {
                @for item in NavItem::MAIN { li { (link(item)) } }
                @for item in near { li.way-near { (link(*item)) } }
                li.way-more {
                    details {
                        summary class=[current] { (Icon::More) span { "More" } }
                        ul {
                            @for item in near { li.way-nearer { (link(*item)) } }
                            @for item in far { li { (link(*item)) } }
                        }
                    }
                }
            }
        }
    }
}

fn footer(head: &PageHead<'_>) -> Markup {
    html! {
        footer.foot {
            div.wrap {
                ul {
                    @if head.on_device {
                        li { a href="/" { (t!("share.this_device")) } }
                    } @else {
                        li { a href="/trust" { "How far to trust this" } }
                        li { a href="/share" { (t!("share.nav")) } }
                    }
                    @if head.on_device || head.trial.is_none() { li { a href="/cautions" { "Cautions" } } }
                    li { "Fairtank " (env!("CARGO_PKG_VERSION")) }
                    // Shown by the script that makes it work.
                    li { button.theme-toggle type="button" data-theme-toggle hidden { "Theme: device" } }
                }
                p.muted { (if head.on_device { t!("share.kept") } else { t!("shell.kept") }) } p.muted { "No alarm never means safe: look at the animals." }
            }
        }
    }
}
