//! The published update over the demonstration: a golden page, well-formed, needing nothing else; the
//! frames; the package of one trial; the folder it is written to.
//!
//! After a wanted change: `UPDATE_GOLDEN=1 cargo test -p report --test update`, then look at the
//! difference.
#![allow(clippy::unwrap_used, clippy::panic)] // a test may stop where it finds nothing

mod common;

use answers::update::{UpdateView, update_view};
use common::html::{Element, elements};
use jiff::civil::date;
use job::Progress;
use report::frames::{Size, frames, is_frame_name};
use report::update::{LeftOut, Mode, Pictures, UpdateError, page, policy, write};
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::{Arc, Mutex, OnceLock};
use store::Notebook;
use tempfile::TempDir;
use trial::TrialId;

struct Demo {
    _folder: TempDir,
    notebook: Notebook,
    trials: Vec<TrialId>,
}

/// One demonstration notebook for all tests; none writes to it.
fn demo() -> &'static Demo {
    static DEMO: OnceLock<Demo> = OnceLock::new();
    DEMO.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let notebook = Notebook::create(folder.path()).unwrap();
        demo::make(&notebook).unwrap();
        let trials = notebook.trials().unwrap();
        Demo {
            trials: trials.iter().map(|t| t.trial.id).collect(),
            notebook,
            _folder: folder,
        }
    })
}

/// The trial of two tanks to an arm, and the one of a single tank to an arm.
const TITLES: [&str; 2] = ["In the sand or in the water?", "Pots or cuttings?"];

fn view(title: &str) -> UpdateView {
    let demo = demo();
    let trial = demo
        .trials
        .iter()
        .find(|id| demo.notebook.bench(**id).unwrap().trial.title == title);
    // Both trials are closed before this day.
    update_view(&demo.notebook, *trial.unwrap(), date(2026, 6, 30)).unwrap()
}

fn pictures(view: &UpdateView) -> Pictures {
    Pictures::of(&demo().notebook, view, &Progress::none()).unwrap()
}

fn published(view: &UpdateView) -> String {
    page(view, &pictures(view), &Mode::Published(LeftOut::default()))
}

/// The page with each embedded picture and font replaced by its hash, the style sheet by a word and
/// each figure by its title: figures have golden files of their own.
fn without_data(page: &str) -> String {
    let mut out = String::new();
    let mut rest = page;
    while let Some(at) = rest.find(";base64,") {
        let at = at + ";base64,".len();
        let end = rest[at..].find(['"', ')']).unwrap();
        let data = &rest[at..at + end];
        out.push_str(&rest[..at]);
        out.push_str(&format!("[{}]", &store::hash(data.as_bytes())[..16]));
        rest = &rest[at + end..];
    }
    out.push_str(rest);
    let out = between(&out, "<style>", "</style>", |_| String::new());
    let out = between(&out, "style-src 'sha256-", "'", |_| String::new());
    let out = between(&out, "<svg", "</svg>", |svg| {
        let title = svg.split("<title").nth(1).and_then(|t| t.split('<').next());
        title
            .unwrap_or("")
            .split('>')
            .nth(1)
            .unwrap_or("")
            .to_string()
    });
    // One element a line, so that a difference can be read.
    out.replace("><", ">\n<")
}

/// The text with what stands between every `from` and the next `to` replaced.
fn between(text: &str, from: &str, to: &str, by: impl Fn(&str) -> String) -> String {
    let mut parts = text.split(from);
    let mut out = parts.next().unwrap_or("").to_string();
    for part in parts {
        let (inside, after) = part.split_once(to).unwrap();
        out.push_str(&format!("{from}{}{to}{after}", by(inside)));
    }
    out
}

#[test]
fn the_page_of_the_demonstration_is_the_golden_one() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/update.html");
    let found = without_data(&published(&view(TITLES[0])));
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(&golden, &found).unwrap();
    }
    let wanted = std::fs::read_to_string(&golden).unwrap();
    let differs = wanted.lines().zip(found.lines()).find(|(a, b)| a != b);
    assert!(
        wanted == found,
        "the update page is not the golden one; first difference: {differs:?}"
    );
}

#[test]
fn the_page_is_well_formed_and_needs_nothing_but_itself() {
    for title in TITLES {
        let html = published(&view(title));
        let found = elements(&html).unwrap_or_else(|e| panic!("{title}: {e}"));
        let named = |name: &str| found.iter().filter(|e| e.name == name).collect::<Vec<_>>();
        assert_eq!(named("h1").len(), 1);
        for forbidden in [
            "script", "iframe", "object", "embed", "link", "form", "base",
        ] {
            assert!(named(forbidden).is_empty(), "{title}: <{forbidden}>");
        }
        assert_eq!(named("style").len(), 1);
        refers_to_itself_only(&found);
        for image in named("img") {
            assert!(image.attribute("alt").is_some_and(|alt| alt.len() > 20));
        }
        for table in named("table") {
            assert!(table.children.contains(&"caption".to_string()), "{title}");
        }
        assert!(named("th").iter().all(|th| th.attribute("scope").is_some()));
        assert!(html.contains(policy().split(';').next().unwrap()));
        // Nothing inline that the policy would block.
        let inline = |e: &&Element| e.attribute("style").is_some() || e.has_handler();
        assert!(found.iter().find(inline).is_none());
        assert!(!html.contains("update."), "a key without its text");
    }
}

fn refers_to_itself_only(found: &[Element]) {
    let ids: Vec<&str> = found.iter().filter_map(|e| e.attribute("id")).collect();
    let once: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), once.len(), "an id stands twice");
    for element in found {
        for name in ["src", "href", "xlink:href", "srcset", "poster", "action"] {
            let Some(to) = element.attribute(name) else {
                continue;
            };
            let inside = to.strip_prefix('#').is_some_and(|id| once.contains(id));
            let embedded = to.starts_with("data:image/jpeg;base64,");
            assert!(inside || embedded || to == "data.zip", "{name}={to:.80}");
        }
    }
}

#[test]
fn the_sections_stand_in_their_order_and_say_that_it_is_invented() {
    let html = published(&view(TITLES[0]));
    let at = |text: &str| html.find(text).unwrap_or_else(|| panic!("no {text}"));
    let order = [
        "Invented for demonstration",
        "<h1>",
        "What happened, in short",
        "What this trial can say",
        "What it cannot say",
        "id=\"pictures\"",
        "id=\"setup\"",
        "id=\"cost\"",
        "id=\"treated\"",
        "id=\"readings\"",
        "id=\"compare\"",
        "id=\"plans\"",
        "id=\"disclosures\"",
        "id=\"next\"",
        "id=\"method\"",
        "id=\"cautions\"",
        "id=\"about\"",
    ];
    let body = at("<body>");
    let places: Vec<usize> = order
        .iter()
        .map(|text| {
            body + html[body..]
                .find(text)
                .unwrap_or_else(|| panic!("no {text}"))
        })
        .collect();
    // The table of contents names headings before they come; ids stand only where they belong.
    assert!(
        places[5..].is_sorted() && places[..2].is_sorted(),
        "{places:?}"
    );
    assert!(html.contains("not veterinary, electrical or legal advice"));
    assert!(html.contains("<em lang=\"la\">Eleocharis acicularis</em>"));
}

#[test]
fn what_it_can_say_claims_no_more_than_the_trial_carries() {
    for title in TITLES {
        let view = view(title);
        for sentence in &view.comparison.can_say {
            for word in ["caused", "significant", "no effect", "proves", "proof that"] {
                assert!(
                    !sentence.to_lowercase().contains(word),
                    "\"{sentence}\" says \"{word}\""
                );
            }
        }
    }
    // One tank in an arm has no interval anywhere (Hurlbert 1984: the tank is the unit).
    let html = published(&view(TITLES[1]));
    assert!(html.contains("no interval (a)") && !html.contains("(95\u{a0}%)"));
}

#[test]
fn what_the_keeper_wrote_is_text() {
    let evil = "<script>alert(1)</script> & \"quotes\" </style><img src=http://x.test/y>";
    let mut view = view(TITLES[1]);
    let trial = &mut view.bench.trial;
    trial.title = evil.into();
    trial.question = evil.into();
    trial.next_step = Some(evil.into());
    trial.disclosures = vec![evil.into()];
    trial.stop_rule = Some(evil.into());
    trial.made_by = Some(evil.into());
    trial.keeper = Some(evil.into());
    trial.equal[0].value = evil.into();
    view.bench.tanks[0].name = evil.into();
    view.bench.tanks[0].note = evil.into();
    view.bench.plantings[0].scientific_name = evil.into();
    view.now.bench = view.bench.clone();
    view.now.tanks[0].tank = view.bench.tanks[0].clone();
    view.pairs[0].before.note = evil.into();
    view.pairs[0].before.tank_name = evil.into();
    let html = published(&view);
    let found = elements(&html).unwrap_or_else(|e| panic!("{e}"));
    assert!(!found.iter().any(|e| e.name == "script"));
    refers_to_itself_only(&found);
    assert!(html.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    // Frames take the same words.
    for frame in frames(&view, &pictures(&view)) {
        frame
            .png()
            .unwrap_or_else(|e| panic!("{}: {e}", frame.file_name()));
    }
}

/// Width and height: the first eight bytes of the IHDR chunk (PNG, ISO/IEC 15948, 11.2.2).
fn size_of(png: &[u8]) -> (u32, u32) {
    let at = |i: usize| u32::from_be_bytes(png[i..i + 4].try_into().unwrap());
    (at(16), at(20))
}

#[test]
fn frames_have_their_sizes_and_something_on_them() {
    let view = view(TITLES[1]);
    let pictures = pictures(&view);
    let all = frames(&view, &pictures);
    for size in Size::ALL {
        let words: Vec<&str> = all
            .iter()
            .filter(|f| f.size == size)
            .map(|f| f.word.as_str())
            .collect();
        for wanted in ["question", "tanks", "primary-outcome", "all-tanks"] {
            assert!(words.contains(&wanted), "no {wanted} among {words:?}");
        }
        for tank in &view.bench.tanks {
            let wanted = format!("{}-before-after", tank.name.to_lowercase());
            assert!(words.contains(&wanted.as_str()), "no {wanted}");
        }
        // Every row of the comparison is on some frame: each of its measures is.
        for row in &view.comparison.rows {
            let key = row.measure.key().replace('_', "-");
            assert!(words.contains(&format!("{key}-tanks").as_str()), "no {key}");
        }
    }
    let mut names = BTreeSet::new();
    for frame in &all {
        let png = frame.png().unwrap();
        let wanted = match frame.size {
            Size::Landscape => (1920, 1080),
            Size::Portrait => (1080, 1920),
        };
        assert_eq!(size_of(&png), wanted, "{}", frame.file_name());
        assert!(is_frame_name(&frame.file_name()));
        assert!(names.insert(frame.file_name()), "two {}", frame.file_name());
        // Letters draw dark pixels: a heading of 60 px alone covers thousands of pixels.
        let picture = image::load_from_memory(&png).unwrap().into_luma8();
        let head = picture.enumerate_pixels();
        let dark = head.filter(|(_, y, p)| *y < wanted.1 / 2 && p.0[0] < 90);
        assert!(dark.count() > 2_000, "{} is blank", frame.file_name());
    }
}

#[test]
fn words_on_frames_are_large_enough() {
    fn smallest(items: &[chart::Item], scale: f64) -> f64 {
        items.iter().fold(f64::INFINITY, |least, item| match item {
            chart::Item::Text(text) => least.min(text.size * scale),
            chart::Item::Group(group) => least.min(smallest(&group.items, scale * group.scale)),
            _ => least,
        })
    }
    for title in TITLES {
        let view = view(title);
        for frame in frames(&view, &pictures(&view)) {
            let least = smallest(&frame.scene.items, 1.0);
            assert!(least >= 28.0, "{}: {least} px", frame.file_name());
        }
    }
}

#[test]
fn written_again_it_is_the_same_and_other_files_are_safe() {
    let view = view(TITLES[1]);
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("update");
    let steps = Arc::new(Mutex::new(Vec::new()));
    let told = Arc::clone(&steps);
    let progress = Progress::watched(move |seen| {
        told.lock()
            .unwrap()
            .push((seen.permille, seen.doing.clone()));
    });
    let first = write(&demo().notebook, &view, &out, &progress).unwrap();
    let steps = steps.lock().unwrap();
    assert!(
        steps.is_sorted_by_key(|(permille, _)| *permille),
        "{steps:?}"
    );
    assert_eq!(steps.last().unwrap().0, 1000);
    for word in ["Pictures", "Frames", "Table entries.csv", "Page"] {
        assert!(steps.iter().any(|(_, doing)| doing == word), "{word}");
    }
    assert_eq!(first.last().unwrap(), &out.join("index.html"));
    let bytes = |paths: &[std::path::PathBuf]| -> Vec<String> {
        let of = |p: &std::path::PathBuf| store::hash(&std::fs::read(p).unwrap());
        paths.iter().map(of).collect()
    };
    let before = bytes(&first);
    // What an earlier update left goes; what somebody put beside it stays.
    std::fs::write(out.join("frames/77-old-1920x1080.png"), "old").unwrap();
    std::fs::write(out.join("frames/holiday.png"), "mine").unwrap();
    std::fs::write(out.join("notes.txt"), "mine").unwrap();
    let second = write(&demo().notebook, &view, &out, &Progress::none()).unwrap();
    assert_eq!((&first, before), (&second, bytes(&second)));
    assert!(!out.join("frames/77-old-1920x1080.png").exists());
    assert!(out.join("frames/holiday.png").exists() && out.join("notes.txt").exists());
    let left: Vec<_> = std::fs::read_dir(&out).unwrap().flatten().collect();
    assert_eq!(left.len(), 4, "{left:?}");
}

#[test]
fn one_stopped_anywhere_leaves_the_folder_as_it_was() {
    let view = view(TITLES[1]);
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("update");
    for word in ["Pictures", "Frames", "Data", "Table readings.csv", "Page"] {
        let cell = Arc::new(OnceLock::<Progress>::new());
        let own = Arc::clone(&cell);
        let progress = Progress::watched(move |seen| {
            if let Some(progress) = own.get().filter(|_| seen.doing == word) {
                progress.cancel();
            }
        });
        cell.set(progress.clone()).unwrap();
        let stopped = write(&demo().notebook, &view, &out, &progress).unwrap_err();
        assert!(
            matches!(stopped, UpdateError::Cancelled(_)),
            "{word}: {stopped:?}"
        );
        assert_eq!(
            std::fs::read_dir(folder.path()).unwrap().count(),
            0,
            "{word}"
        );
    }
}

#[test]
fn a_folder_with_other_files_is_refused() {
    let view = view(TITLES[1]);
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("index.html"), "<html>mine</html>").unwrap();
    let refused = write(&demo().notebook, &view, folder.path(), &Progress::none()).unwrap_err();
    assert!(matches!(&refused, UpdateError::OtherFiles { name, .. } if name == "index.html"));
    assert!(refused.is_input() && refused.to_string().contains("earlier update"));
    let mine = std::fs::read_to_string(folder.path().join("index.html")).unwrap();
    assert_eq!(mine, "<html>mine</html>");
    let file = folder.path().join("index.html");
    let refused = write(&demo().notebook, &view, &file, &Progress::none()).unwrap_err();
    assert!(matches!(refused, UpdateError::NotAFolder { .. }));
    // A notebook is no place for an update either.
    let notebook = demo().notebook.folder();
    let refused = write(&demo().notebook, &view, notebook, &Progress::none()).unwrap_err();
    assert!(matches!(refused, UpdateError::OtherFiles { .. }));
}

#[test]
fn the_package_holds_this_trial_and_nothing_of_the_other() {
    let view = view(TITLES[0]);
    let other = view_of_other();
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("update");
    write(&demo().notebook, &view, &out, &Progress::none()).unwrap();
    let restored = folder.path().join("restored");
    let zip = std::fs::File::open(out.join("data.zip")).unwrap();
    store::restore::restore(
        zip,
        &restored,
        &store::restore::Limits::default(),
        &Progress::none(),
    )
    .unwrap();
    let back = Notebook::open(&restored).unwrap();
    let trials = back.trials().unwrap();
    assert_eq!(trials.len(), 1);
    assert_eq!(
        (trials[0].trial.id, trials[0].entries),
        (view.bench.trial.id, view.entries)
    );
    // The same update can be made from it: nothing that it needs was left behind.
    let again = update_view(&back, view.bench.trial.id, date(2026, 6, 30)).unwrap();
    assert_eq!(again.comparison, view.comparison);
    assert_eq!(again.treatment, view.treatment);
    assert_eq!(again.readings, view.readings);
    assert_eq!(again.cost, view.cost);
    let all = back.all_records().unwrap();
    let ids: BTreeSet<_> = all.iter().map(|(r, _)| r.id()).collect();
    let others = other.bench.tanks.iter().map(|t| t.id.0);
    assert!(
        others
            .chain([other.bench.trial.id.0])
            .all(|id| !ids.contains(&id))
    );
    assert_eq!(back.pictures().unwrap().len(), 24);
}

fn view_of_other() -> UpdateView {
    view(TITLES[1])
}
