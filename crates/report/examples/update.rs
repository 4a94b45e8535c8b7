//! Writes the update of a demonstration trial: `cargo run -p report --example update -- FOLDER [TITLE]`.

use jiff::civil::date;
use store::Notebook;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let out = arguments.next().ok_or("name a folder to write to")?;
    let wanted = arguments.next();
    let folder = tempfile::tempdir()?;
    let notebook = Notebook::create(folder.path())?;
    demo::make(&notebook)?;
    let trials = notebook.trials()?;
    let trial = trials
        .iter()
        .find(|t| wanted.as_ref().is_none_or(|w| t.trial.title.contains(w)))
        .ok_or("no trial has such a title")?;
    // Both trials are closed before this day, so that it shows nowhere.
    let view = answers::update::update_view(&notebook, trial.trial.id, date(2026, 6, 30))?;
    for file in report::update::write(&notebook, &view, out.as_ref(), &job::Progress::none())? {
        println!("{}", file.display());
    }
    Ok(())
}
