//! What the catalogue knows of a plant, with what regulates it.

use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::TrialId;
use trial::catalogue::{self, Plant};

use crate::parts::disclosure::disclosure;
use crate::parts::notice;

/// A species' name, in italics.
pub(super) fn species(name: &str) -> Markup {
    html! { i lang="la" { (name) } }
}

/// The plant of this name, if the catalogue has it, with the way to its entry there.
pub(super) fn chosen(name: &str, trial: TrialId) -> Markup {
    let catalogue_path = format!("/trials/{trial}/plants/catalogue");
    let Some(plant) = catalogue::find(name) else {
        return match name.trim() {
            "" => html! {},
            unknown => html! {
                p.muted {
                    (t!("setup.plant_unknown", name = unknown)) " "
                    a href=(catalogue_path) { (t!("plants.to_catalogue")) }
                }
            },
        };
    };
    html! {
        p {
            (species(&plant.scientific_name)) ": " (facts(plant)) " "
            a href={ (catalogue_path) "?q=" (plant.scientific_name.replace(' ', "+")) } { (t!("plants.in_catalogue")) }
        }
        @if let Some(text) = plant.regulation() { (regulation(&plant.scientific_name, &text)) }
    }
}

fn facts(plant: &Plant) -> String {
    let plain = |cm| Format::default().plain(cm);
    t!(
        "setup.plant_facts",
        form = plant.form,
        speed = plant.speed,
        light = plant.light_demand,
        co2 = plant.co2_demand,
        low = plain(plant.height_cm_min),
        high = plain(plant.height_cm_max),
        propagation = plant.propagation
    )
}

/// The caution on a plant that some list regulates.
pub(super) fn regulation(name: &str, text: &str) -> Markup {
    notice::caution(
        t!("setup.plant_regulated"),
        &html! { p { (species(name)) ": " (text) } },
    )
}

/// Every plant of the catalogue that some list regulates, one click away from the choice.
pub(super) fn regulated() -> Markup {
    let listed = catalogue::all()
        .iter()
        .filter_map(|p| p.regulation().map(|text| (p, text)));
    disclosure(
        t!("setup.plants_regulated"),
        &html! {
            ul { @for (plant, text) in listed { li { (species(&plant.scientific_name)) ": " (text) } } }
        },
    )
}
