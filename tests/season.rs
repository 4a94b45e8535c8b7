//! A simulated season kept through the pages, in a real browser at a phone's size: an empty
//! notebook, a trial set up and kept for twelve weeks, two walk-rounds, plans kept and broken, and
//! the update made; what it says of the season is held against values worked out by hand.
//!
//! Everything in it is invented for this test.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers of tests, outside the test functions

mod common;
#[path = "common/hand.rs"]
mod hand;
#[path = "season/pages.rs"]
mod pages;
#[path = "common/browser.rs"]
mod window;

use common::serve;
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan};
use pages::{GUESSED, the_pages, the_update};
use std::path::{Path, PathBuf};
use window::Browser;

/// The tanks as they stand, from the left. By the lot of seed 1207 flint and mica are lean, chalk
/// and slate rich (worked out apart from this program, from the method the page prints: names in
/// alphabetical order, `SplitMix64`, Fisher and Yates from the last place down, dealt in turn).
const TANKS: [&str; 4] = ["mica", "flint", "slate", "chalk"];
const LEAN: &str = "mica, flint";
const RICH: &str = "slate, chalk";
/// Cover of the carpet in per cent at the start and the end of the treatment, tank by tank.
const COVER: [(&str, &str); 4] = [("20", "40"), ("20", "50"), ("20", "60"), ("16", "64")];
const TITLE: &str = "Test season, invented: twice the nitrate";

const RAISE: &str = "Raise the lamps by 4 cm";
const HALVE: &str = "Halve the food in every tank";

/// The season: twelve weeks up to today.
struct Season {
    browser: Browser,
    trial: String,
    start: Date,
}

impl Season {
    /// The day so many days after the first.
    fn day(&self, n: i64) -> String {
        self.start.checked_add(n.days()).unwrap().to_string()
    }

    async fn jot(&self, line: &str, day: i64, hour: &str) -> String {
        let line = format!("{line} @ {} {hour}", self.day(day));
        self.browser.jot(&self.trial, &line).await
    }

    /// Saves the open form of the set-up; the page says that it was saved.
    async fn save(&self, form: &str) {
        self.browser.press("Save").await;
        let saved = "return location.search.includes('saved=')";
        let what = format!("{form} is saved");
        self.browser.until(&what, saved, vec![]).await;
    }

    async fn open(&self, page: impl AsRef<str>) -> String {
        let at = format!("{}/{}", self.trial, page.as_ref());
        self.browser.open_at(&at).await;
        self.browser.fits().await;
        self.browser.line().await
    }
}

fn has(page: &str, words: &str) {
    assert!(page.contains(words), "{words:?} is not in:\n{page}");
}

/// The question, the tanks, the one difference and the lot.
async fn new_trial(browser: Browser, address: &str) -> Season {
    let today = Timestamp::now()
        .to_zoned_datetime(jiff::tz::TimeZone::UTC)
        .date();
    browser.open_at(address).await;
    browser.press("New trial").await;
    let tanks: Vec<String> = (1..=4).map(|n| format!("tank_name-{n}")).collect();
    let question = "Does twice the nitrate close the carpet sooner? (a test, invented)";
    let mut fields = vec![("new_question", question), ("new_title", TITLE)];
    fields.extend(
        tanks
            .iter()
            .zip(TANKS)
            .map(|(field, name)| (field.as_str(), name)),
    );
    fields.extend([("new_factor", "nitrate a week"), ("new_level-1", "lean")]);
    fields.extend([
        ("new_level-2", "rich"),
        ("new_control", "1"),
        ("given", "lot"),
    ]);
    fields.extend([("seed", "1207"), ("new_zone", "Etc/UTC")]);
    browser.fill(&fields).await;
    browser.fits().await;
    browser.press("Make the trial").await;
    let made = "return location.pathname.endsWith('/bench')";
    browser.until("the trial is made", made, vec![]).await;
    let at = browser.driver.current_url().await.unwrap().to_string();
    let trial = at.strip_suffix("/bench").unwrap().to_owned();
    let start = today.checked_sub(84.days()).unwrap();
    Season {
        browser,
        trial,
        start,
    }
}

/// The rest of the set-up, form by form as the file has it.
async fn set_up(s: &Season) {
    let forms = include_str!("season/setup.txt").split("\n[").skip(1);
    for form in forms {
        let (form, lines) = form.split_once("]\n").unwrap();
        let pairs = lines.lines().filter_map(|line| line.split_once(" = "));
        let dated = pairs.map(|(name, value)| match value.strip_prefix("day ") {
            Some(n) => (name, s.day(n.parse().unwrap())),
            None => (name, value.to_owned()),
        });
        let dated: Vec<(&str, String)> = dated.collect();
        s.open(match form.strip_prefix("tanks/") {
            Some(_) => "setup".to_owned(),
            None => format!("setup/{form}"),
        })
        .await;
        if let Some(tank) = form.strip_prefix("tanks/") {
            s.browser.follow(&format!("Edit {tank}")).await;
        }
        s.browser.fill(&borrowed(&dated)).await;
        s.save(form).await;
    }
}

fn borrowed<'a>(fields: &'a [(&'a str, String)]) -> Vec<(&'a str, &'a str)> {
    fields
        .iter()
        .map(|(name, value)| (*name, value.as_str()))
        .collect()
}

/// Twelve weeks from the phone. The change of week 6 is forgotten.
async fn twelve_weeks(s: &Season) {
    for week in 0..12 {
        let day = 7 * week;
        if week != 6 {
            s.jot("change 40% with tap (20 min)", day, "18:00").await;
        }
        if week >= 2 {
            s.jot(&format!("{LEAN}: dose kno3 0.5 g"), day, "18:30")
                .await;
            s.jot(&format!("{RICH}: dose kno3 1 g"), day, "18:35").await;
        }
        if week % 2 == 0 {
            s.jot("feed flakes 0.1 g", day + 1, "9:00").await;
        }
        match week {
            2 => scores(s, day).await,
            4 => mishaps(s, day).await,
            7 => trims(s, day).await,
            _ => {}
        }
        if week % 4 == 0 {
            pictures(s, day, week).await;
        }
        if week % 3 == 2 {
            readings(s, day).await;
        }
    }
}

async fn scores(s: &Season, day: i64) {
    for (tank, (cover, _)) in TANKS.iter().zip(COVER) {
        s.jot(&format!("{tank}: cover eleocharis {cover}%"), day, "19:00")
            .await;
        s.jot(&format!("{tank}: score bacopa 6"), day, "19:05")
            .await;
    }
    s.jot("mica: film pane 2", day, "19:10").await;
}

async fn trims(s: &Season, day: i64) {
    for (tank, out) in TANKS.iter().zip(["6 g", "7 g", "9 g", "8 g"]) {
        s.jot(
            &format!("{tank}: trim bacopa keep 50% out {out}"),
            day,
            "20:00",
        )
        .await;
    }
}

/// A dose typed ten times too large and corrected, one logged twice and undone, a shrimp lost.
async fn mishaps(s: &Season, day: i64) {
    let (b, trial) = (&s.browser, &s.trial);
    let wrong = s.jot("mica: feed flakes 1 g", day + 2, "9:00").await;
    b.open_at(&format!("{trial}/entries/{wrong}/correct")).await;
    b.fill(&[("grams", "0.1")]).await;
    b.press("Save the correction").await;
    let corrected = "return location.search.includes('done=')";
    b.until("the feeding is corrected", corrected, vec![]).await;
    let twice = s.jot("dose kno3 0.5 g", day, "18:40").await;
    b.open_at(&format!("{trial}/entries/{twice}")).await;
    b.press("Undo").await;
    let undone = "return document.querySelector('main').innerText.includes('Taken back.')";
    b.until("the second dose is undone", undone, vec![]).await;
    let at = format!("{}T08:00", s.day(day + 3));
    let lost = [
        ("event", "death"),
        ("species", "shrimp"),
        ("count", "1"),
        ("tanks", "slate"),
        ("at", &at),
    ];
    b.log_form(&format!("{trial}/log/livestock"), &lost, "Log it")
        .await;
}

/// A reading in every tank with the card: the lean tanks between two steps, the rich at the next.
async fn readings(s: &Season, day: i64) {
    s.open("log/reading").await;
    s.browser.follow("Nitrate card").await;
    let at = format!("{}T19:30", s.day(day));
    let seen =
        ["between:5:10", "between:5:10", "step:20", "between:10:20"].map(|saw| vec![("saw", saw)]);
    s.browser
        .round(&[("at", &at), ("tanks", "mica")], &seen)
        .await;
}

/// A picture of the front of every tank: invented ones that the demonstration has.
async fn pictures(s: &Season, day: i64, week: i64) {
    s.open("log/picture").await;
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("demo/pictures");
    let files = ["ash", "elm", "oak", "fir"].map(|tank| {
        folder
            .join(format!("{tank}-w{week:02}.jpg"))
            .display()
            .to_string()
    });
    let seen: Vec<_> = files
        .iter()
        .map(|file| vec![("file", file.as_str())])
        .collect();
    let at = format!("{}T17:00", s.day(day));
    s.browser
        .round(&[("view", "front"), ("at", &at), ("tanks", "mica")], &seen)
        .await;
}

/// A walk-round masked by a helper, every plant alike at first sight; the guesses name two of the
/// four tanks rightly and take a lean one and a rich one for each other.
async fn masked_walk(s: &Season) -> String {
    let b = &s.browser;
    s.open("walk").await;
    let asked = [
        ("length", "short"),
        ("masked", "helper"),
        ("who", "A friend, invented"),
    ];
    b.fill(&asked).await;
    b.press("Begin a walk-round").await;
    step(s, 1, &["45"; 4]).await;
    step(s, 2, &["6"; 4]).await;
    let walk = b
        .run("return location.pathname.replace('/end', '')", vec![])
        .await;
    let walk = walk
        .as_str()
        .unwrap()
        .trim_start_matches(|c| c != '/')
        .to_owned();
    let at = format!("{}/walk{}", s.trial, walk.split_once("/walk").unwrap().1);
    b.open_at(&format!("{at}/letters")).await;
    let script = "return [...document.querySelectorAll('.walk-letters div')].map(d => \
        [d.querySelector('dt').textContent.trim(), d.querySelector('dd').textContent.trim()])";
    let letters: Vec<(String, String)> =
        serde_json::from_value(b.run(script, vec![]).await).unwrap();
    assert_eq!(letters.len(), 4, "{letters:?}");
    let taken = |tank: &str| match tank {
        t if t.contains("flint") => "slate",
        t if t.contains("slate") => "flint",
        t if t.contains("mica") => "mica",
        _ => "chalk",
    };
    b.open_at(&format!("{at}/end")).await;
    for (letter, tank) in &letters {
        b.fill(&[(&format!("guess-{letter}"), taken(tank))]).await;
    }
    b.fill(&[("minutes", "12")]).await;
    b.press("Tell me").await;
    b.until("the letters are told", TOLD, vec![]).await;
    b.line().await
}

const TOLD: &str =
    "return document.querySelector('main').innerText.includes('Ended on its last step')";

/// An open walk-round: what the carpet covers at the end, the stems as last time.
async fn open_walk(s: &Season) {
    let b = &s.browser;
    s.open("walk").await;
    b.fill(&[
        ("length", "short"),
        ("masked", "no"),
        ("who", "Test keeper"),
    ])
    .await;
    b.press("Begin a walk-round").await;
    step(s, 1, &COVER.map(|(_, end)| end)).await;
    b.press("All as last time").await;
    b.until(
        "the steps are done",
        "return location.pathname.endsWith('/end')",
        vec![],
    )
    .await;
    b.fill(&[("minutes", "8")]).await;
    b.press("End it").await;
    b.until("the walk-round has ended", TOLD, vec![]).await;
}

async fn step(s: &Season, number: usize, values: &[&str; 4]) {
    let b = &s.browser;
    let here = format!("return location.pathname.endsWith('/{number}')");
    b.until("the step is open", &here, vec![]).await;
    b.fits().await;
    for (n, value) in values.iter().enumerate() {
        b.fill(&[(&format!("v{n}"), value)]).await;
    }
    b.press(if number == 2 {
        "Save, last step"
    } else {
        "Save, next step"
    })
    .await;
    let next = format!("return !location.pathname.endsWith('/{number}')");
    b.until("the step is saved", &next, vec![]).await;
}

/// One plan is carried out, one is given up; both say why.
async fn outcomes_of_plans(s: &Season) {
    let raised = s.day(28);
    let seen = "Film went from 2 to 1; the carpet kept its pace.";
    let done = [("plan_is", "Done"), ("done_on", &raised), ("seen", seen)];
    let why = "A shrimp was lost, so the food stays as it is.";
    let dropped = [("plan_is", "Given up"), ("why", why)];
    for (what, fields) in [(RAISE, done.as_slice()), (HALVE, &dropped)] {
        s.open("setup").await;
        s.browser.follow(what).await;
        let form = "return location.pathname.includes('/setup/plans/')";
        s.browser.until("the plan's form opens", form, vec![]).await;
        s.browser.fill(fields).await;
        s.save(what).await;
    }
}

/// Every entry of the trial's navigation, as a phone and a desk show it in light and in dark.
async fn shots(s: &Season, folder: &Path) {
    std::fs::create_dir_all(folder).unwrap();
    let script = "return [...new Set([...document.querySelectorAll('nav a')].map(a => a.pathname))]\
        .filter(p => p.startsWith('/trials/'))";
    s.open("bench").await;
    let pages: Vec<String> = serde_json::from_value(s.browser.run(script, vec![]).await).unwrap();
    let server = s.trial.split_once("/trials/").unwrap().0;
    for theme in ["light", "dark"] {
        s.browser.wish(theme).await;
        for path in &pages {
            for width in [390, 1440] {
                s.browser.open_at(&format!("{server}{path}")).await;
                let png = s.browser.whole_page(width).await;
                let name = path.rsplit('/').next().unwrap();
                std::fs::write(folder.join(format!("{name}-{width}-{theme}.png")), png).unwrap();
            }
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_season_is_kept_through_the_pages() {
    let temp = tempfile::tempdir().unwrap();
    let served = serve(&temp.path().join("season"));
    let s = new_trial(Browser::phone().await, &served.address).await;
    set_up(&s).await;
    twelve_weeks(&s).await;
    has(&masked_walk(&s).await, GUESSED);
    open_walk(&s).await;
    outcomes_of_plans(&s).await;
    if let Some(folder) = std::env::var_os("SEASON_SHOTS") {
        let desk = Season {
            browser: Browser::desk().await,
            trial: s.trial.clone(),
            start: s.start,
        };
        shots(&desk, Path::new(&folder)).await;
        desk.browser.end().await;
    }
    the_pages(&s).await;
    the_update(&s).await;
    let complaints = s.browser.complaints().await;
    assert!(complaints.is_empty(), "{complaints:?}");
    s.browser.end().await;
}
