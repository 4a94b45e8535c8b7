//! Pictures that were sent, looked at one by one and kept together; the work of a job.

use std::collections::HashSet;
use std::fs;
use std::path::PathBuf;

use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use job::{Progress, Stop};
use store::Batch;
use text::t;
use trial::act::{Picture, View};
use trial::{Act, Bench, Draft, Entry, EntryId, Finding, Origin, Severity, TankId};
use uuid::Uuid;

use super::incoming::{Incoming, Sent};
use super::out::store_failed;
use crate::app::App;
use crate::jobs::{Outcome, Rows, failed};
use crate::pages::pictures::copy_of;
use crate::pages::words::{capital, day};

/// The copy made at once: it shows that a file can be decoded whole, and the pages want it next.
const FIRST_COPY: u32 = 640;

/// What a form says of all its pictures.
pub(super) struct Told {
    /// The tank they show.
    pub(super) tank: TankId,
    /// From where.
    pub(super) view: View,
    /// For files that do not say when.
    pub(super) at: ZonedDateTime,
    /// Who took them.
    pub(super) who: String,
    /// What there is to say of all of them.
    pub(super) note: String,
}

/// A picture found good.
struct Good {
    sha256: String,
    media_type: &'static str,
    path: PathBuf,
    draft: Draft,
    /// Whether the file says when it was taken.
    dated: bool,
    placed: bool,
}

/// Looks at every file, then keeps the good ones and writes their entries together: stopped before
/// that, nothing is kept.
pub(super) fn take_in(
    app: &App,
    bench: &Bench,
    told: &Told,
    incoming: &Incoming,
    progress: &Progress,
) -> Result<Outcome, Stop<Outcome>> {
    let known = answers::load::pictures(app.notebook(), bench).map_err(failed)?;
    let mut seen: HashSet<String> = known.into_iter().map(|line| line.picture.sha256).collect();
    let (looking, count) = (progress.part(0, 80), incoming.files.len() as u64);
    progress.doing(t!("job.doing_looking"));
    let mut looked = Vec::new();
    for (n, file) in incoming.files.iter().enumerate() {
        looking.at(n as u64, count)?;
        looked.push((file.name.clone(), look(bench, told, file, &mut seen)));
    }
    progress.doing(t!("job.doing_keeping"));
    progress.check()?;
    keep(app, bench, &looked, &progress.part(80, 100))?;
    outcome(bench, &looked)
}

/// A file as a picture of this trial, or why not.
fn look(
    bench: &Bench,
    told: &Told,
    file: &Sent,
    seen: &mut HashSet<String>,
) -> Result<Good, String> {
    let path = file.place.clone().map_err(str::to_owned)?;
    let bytes = fs::read(&path).map_err(|e| t!("files.not_read", why = e))?;
    let facts = picture::whole(&bytes).map_err(|e| e.to_string())?;
    let sha256 = store::hash(&bytes);
    if seen.contains(&sha256) {
        return Err(t!("files.here_already").to_owned());
    }
    copy_of(&sha256, &bytes, FIRST_COPY).map_err(|e| e.to_string())?;
    let taken = taken(&facts, &answers::days::zone(bench));
    let draft = Draft {
        at: taken.clone().unwrap_or_else(|| told.at.clone()),
        tanks: vec![told.tank],
        all_tanks: false,
        who: told.who.clone(),
        minutes: None,
        note: told.note.clone(),
        act: Act::Picture(Picture {
            sha256: sha256.clone(),
            media_type: facts.media.media_type().to_owned(),
            width_px: facts.width_px,
            height_px: facts.height_px,
            view: told.view,
            planting: None,
        }),
    };
    let problems = trial::rules::check_draft(&draft, bench);
    if let Some(problem) = problems.first() {
        return Err(problem.to_string());
    }
    seen.insert(sha256.clone());
    Ok(Good {
        sha256,
        media_type: facts.media.media_type(),
        path,
        draft,
        dated: taken.is_some(),
        placed: facts.has_location,
    })
}

/// When the camera says it was taken; a clock that runs ahead is not believed.
fn taken(facts: &picture::Probe, zone: &TimeZone) -> Option<ZonedDateTime> {
    let taken = facts.taken_at?.to_zoned_datetime(zone.clone()).ok()?;
    (taken.timestamp() <= Timestamp::now()).then_some(taken)
}

type Looked = (String, Result<Good, String>);

/// Keeps the files as they are and writes their entries, all in one step. Not stopped half-way.
fn keep(
    app: &App,
    bench: &Bench,
    looked: &[Looked],
    progress: &Progress,
) -> Result<(), Stop<Outcome>> {
    let good: Vec<&Good> = looked.iter().filter_map(|(_, l)| l.as_ref().ok()).collect();
    let written = Timestamp::now();
    let mut entries: Vec<Entry> = Vec::new();
    for (n, good_one) in good.iter().enumerate() {
        let bytes = fs::read(&good_one.path).map_err(failed)?;
        // What was looked at is what is kept.
        if store::hash(&bytes) != good_one.sha256 {
            return Err(failed(t!("files.changed_meanwhile")));
        }
        app.notebook()
            .add_picture(&bytes, good_one.media_type)
            .map_err(store_failed)?;
        let draft = good_one.draft.clone();
        let id = EntryId(Uuid::now_v7());
        entries.push(draft.into_entry(id, bench.trial.id, written, Origin::Form, None));
        let _asked_too_late = progress.at(n as u64 + 1, good.len() as u64);
    }
    let batch = Batch {
        entries,
        ..Batch::default()
    };
    app.notebook().write_all(&batch).map_err(store_failed)
}

/// What became of each; a failure when none was kept.
fn outcome(bench: &Bench, looked: &[Looked]) -> Result<Outcome, Stop<Outcome>> {
    let good: Vec<&Good> = looked.iter().filter_map(|(_, l)| l.as_ref().ok()).collect();
    let refused = looked.len() - good.len();
    let zone = answers::days::zone(bench);
    let rows = looked.iter().map(|(name, looked)| {
        let became = match looked {
            Ok(good) => {
                let at = good.draft.at.with_time_zone(zone.clone());
                let (day, time) = (day(at.date()), at.strftime("%H:%M"));
                match good.dated {
                    true => t!("files.kept_dated", day = day, time = time),
                    false => t!("files.kept_undated", day = day, time = time),
                }
            }
            Err(why) => t!("files.refused", why = why),
        };
        vec![name.clone(), capital(&became)]
    });
    let said = match good.len() {
        0 => t!("files.kept_none", n = looked.len()),
        n => t!("files.kept", n = n, refused = refused),
    };
    let mut outcome = Outcome::said(said).table(Rows {
        caption: t!("files.pictures_caption").to_owned(),
        columns: vec![t!("files.c_file"), t!("files.c_became")],
        rows: rows.collect(),
    });
    let placed = good.iter().filter(|g| g.placed).count();
    if placed > 0 {
        let what = t!("files.placed", n = placed);
        let remedy = t!("pictures.has_place_remedy");
        outcome.findings.push(Finding::new(
            "picture_place",
            Severity::Serious,
            what,
            remedy,
        ));
    }
    match good.is_empty() {
        true => Err(Stop::failed(outcome)),
        false => Ok(outcome),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::Config;
    use job::Seen;
    use std::sync::{Arc, OnceLock};
    use store::Notebook;
    use trial::{Record, Tank, Trial, TrialId};

    const ORDINARY: &[u8] = include_bytes!("../../../../../demo/pictures/ash-w00.jpg");

    /// Progress that stops its work as soon as `when` is so.
    fn stopping(when: fn(&Seen) -> bool) -> Progress {
        let cell = Arc::new(OnceLock::<Progress>::new());
        let own = Arc::clone(&cell);
        let progress = Progress::watched(move |seen| {
            if let Some(progress) = own.get().filter(|_| when(seen)) {
                progress.cancel();
            }
        });
        cell.set(progress.clone()).unwrap();
        progress
    }

    #[test]
    fn stopped_before_the_end_nothing_is_kept_and_stopped_in_the_end_everything_is() {
        let folder = tempfile::tempdir().unwrap();
        let app = App::new(Config::new(1), Notebook::create(folder.path()).unwrap()).unwrap();
        let trial = Trial::new(TrialId(Uuid::now_v7()), "Two", "Europe/Lisbon");
        let tank = Tank::new(TankId(Uuid::now_v7()), trial.id, "Ash", 0);
        let (of, id) = (tank.id, trial.id);
        for record in [Record::Trial(trial), Record::Tank(tank)] {
            let now = Timestamp::now();
            app.notebook().write_record(&record, "", now).unwrap();
        }
        let bench = app.notebook().bench(id).unwrap();
        let told = Told {
            tank: of,
            view: View::Front,
            at: Timestamp::UNIX_EPOCH.to_zoned_datetime(TimeZone::UTC),
            who: String::new(),
            note: String::new(),
        };
        let mut incoming = Incoming::in_folder(folder.path().join("uploads/.x.part")).unwrap();
        for n in 0..3u8 {
            let place = incoming.place(usize::from(n));
            // Bytes behind the end of the picture make it another file.
            fs::write(&place, [ORDINARY, &[n]].concat()).unwrap();
            incoming.files.push(Sent {
                name: format!("{n}.jpg"),
                place: Ok(place),
            });
        }
        let count = |app: &App| {
            let entries = app.notebook().count_entries().unwrap();
            (entries, app.notebook().pictures().unwrap().len())
        };
        let looking = |seen: &Seen| seen.permille > 300;
        let keeping = |seen: &Seen| seen.doing == t!("job.doing_keeping");
        for when in [looking as fn(&Seen) -> bool, keeping] {
            let stopped = take_in(&app, &bench, &told, &incoming, &stopping(when));
            assert!(matches!(stopped, Err(Stop::Cancelled)));
            assert_eq!(count(&app), (0, 0));
        }
        let late = stopping(|seen| seen.permille > 850);
        take_in(&app, &bench, &told, &incoming, &late).unwrap();
        assert_eq!((count(&app), late.is_cancelled()), ((3, 3), true));
        drop(incoming);
        assert!(!folder.path().join("uploads/.x.part").exists());
    }
}
