//! What stands around the rows: examples of free lines, and what to mind at the tanks.

use super::Asked;
use text::t;
use trial::supply::WaterKind;
use trial::{Bench, Finding, Severity};

/// Examples of jots with this bench's own names. Only those that the grammar reads are shown.
pub(super) fn examples(bench: &Bench, asked: &Asked) -> Vec<String> {
    let tank = bench.tanks.first().map_or("", |t| t.name.as_str());
    let tank = tank.to_lowercase();
    let planted = bench.plantings.first();
    let plant = planted.map_or("", |p| p.scientific_name.split(' ').next().unwrap_or(""));
    let plant = plant.to_lowercase();
    let all = [
        t!("sheet.example_note").to_string(),
        t!("sheet.example_trim", tank = tank, plant = plant),
        t!("sheet.example_died", tank = tank),
        t!("sheet.example_ill", tank = tank),
        t!("sheet.example_topup").to_string(),
        t!("sheet.example_clean", tank = tank),
    ];
    let read = |line: &String| trial::jot::read(line, bench, &asked.made).is_ok();
    all.into_iter().filter(read).collect()
}

/// Tap water with a disinfectant, or of which nobody said whether it has one: it harms animals.
pub(super) fn waters(bench: &Bench) -> Vec<Finding> {
    let tap = bench.waters.iter().filter(|w| w.kind == WaterKind::Tap);
    tap.filter_map(|water| {
        let holds = water.disinfectant.trim();
        let what = match holds.to_lowercase().as_str() {
            "none" | "no" => return None,
            "" => t!("sheet.disinfectant_unknown", water = water.name),
            _ => t!("sheet.disinfectant", water = water.name, what = holds),
        };
        let remedy = match water.neutraliser.trim() {
            "" => t!("sheet.disinfectant_remedy").to_string(),
            by => t!("sheet.disinfectant_by", by = by),
        };
        let finding = Finding::new("sheet_disinfectant", Severity::Serious, what, remedy);
        Some(finding.on(water.id))
    })
    .collect()
}
