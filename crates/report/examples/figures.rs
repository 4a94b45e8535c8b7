//! Draws every figure of the demonstration as PNG into a folder, to look at:
//! `cargo run -p report --example figures -- FOLDER`

use std::path::{Path, PathBuf};

use answers::{bench, load};
use chart::{Scene, Theme};
use report::figures;
use store::Notebook;

type Failure = Box<dyn std::error::Error>;

fn main() -> Result<(), Failure> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("say which folder")?);
    std::fs::create_dir_all(&folder)?;
    let place = tempfile::tempdir()?;
    let notebook = Notebook::create(place.path())?;
    demo::make(&notebook)?;
    let today = jiff::civil::date(2026, 6, 1);
    for (i, summary) in notebook.trials()?.iter().enumerate() {
        let view = bench::bench_view(&notebook, summary.trial.id, today)?;
        let bench = &view.bench;
        let whole = load::whole(&notebook, bench, today)?;
        let readings = load::readings(&notebook, bench, whole)?;
        let comparison = load::comparison(&notebook, bench, None, today)?;
        let cost = load::cost(&notebook, bench, today)?;
        for width in [358.0, 960.0] {
            let save = |name: &str, scene: &Scene| -> Result<(), Failure> {
                save(&folder, &format!("{i}-{name}-{width}"), scene)
            };
            save("bench", &figures::bench::tanks(&view, width))?;
            let (first, rest) = figures::readings::by_weight(&readings);
            for (name, analytes) in [("often", first), ("seldom", rest)] {
                let scene = figures::readings::lanes_of(&readings, bench, &analytes, width);
                save(&format!("readings-{name}"), &scene)?;
            }
            for analyte in figures::readings::latest_analytes(&view)
                .into_iter()
                .take(2)
            {
                let scene = figures::readings::latest(&view, analyte, width.min(544.0));
                save(&format!("latest-{}", analyte.key()), &scene)?;
            }
            for measure in figures::compare::measures(&comparison) {
                let key = measure.key();
                if let Some(s) = figures::compare::tanks(&comparison, bench, measure, width) {
                    save(&format!("compare-{key}-tanks"), &s)?;
                }
                if let Some(s) = figures::compare::arms(&comparison, measure, width) {
                    save(&format!("compare-{key}-arms"), &s)?;
                }
            }
            for account in &cost.currencies {
                save("cost-once", &figures::cost::once(account, bench, width))?;
                save("cost-month", &figures::cost::monthly(account, bench, width))?;
            }
            save("cost-work", &figures::cost::work(&cost.work, bench, width))?;
        }
    }
    Ok(())
}

fn save(folder: &Path, name: &str, scene: &Scene) -> Result<(), Failure> {
    println!("{name}: {}", scene.description);
    for (look, theme) in [("light", Theme::light()), ("dark", Theme::dark())] {
        let png = chart::to_png(scene, &theme, scene.width as u32 * 2)?;
        std::fs::write(folder.join(format!("{name}-{look}.png")), png)?;
    }
    Ok(())
}
