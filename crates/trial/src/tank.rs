//! A tank and what stands in and over it.

use crate::ids::{TankId, TrialId};
use jiff::civil::Time;
use quantity::{Basis, Estimate, Interval};
use serde::{Deserialize, Serialize};

/// One tank of a trial. Lengths are inner.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Tank {
    /// Identity.
    pub id: TankId,
    /// Its trial.
    pub trial: TrialId,
    /// Name, unique within the trial, of one word so that jots can use it.
    pub name: String,
    /// Place from the left on the bench, from 0.
    #[serde(default)]
    pub place: u32,
    /// The key of its arm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arm: Option<String>,
    /// Inner length, left to right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_cm: Option<f64>,
    /// Inner width, front to back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_cm: Option<f64>,
    /// Inner height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_cm: Option<f64>,
    /// Water level above the tank's floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_depth_cm: Option<f64>,
    /// Water volume as measured by the keeper; otherwise it is computed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_volume_l: Option<f64>,
    /// What the side and back walls are.
    #[serde(default)]
    pub walls: Walls,
    /// Substrate, lowest layer first.
    #[serde(default)]
    pub substrate: Vec<SubstrateLayer>,
    /// Volume of stones and wood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardscape_l: Option<f64>,
    /// Lamps above it.
    #[serde(default)]
    pub lamps: Vec<Lamp>,
    /// Its filter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filter: Option<Filter>,
    /// Its heater.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heater: Option<Heater>,
    /// Its gas supply; none when no CO2 is added.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gas: Option<Gas>,
    /// Livestock at the start; later changes are entries.
    #[serde(default)]
    pub livestock: Vec<Livestock>,
    /// Where it stands and anything else.
    #[serde(default)]
    pub note: String,
}

/// Side and back walls, as light sees them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Walls {
    /// Clear glass with air behind.
    #[default]
    Glass,
    /// Black, bonded to the glass.
    Black,
    /// White, bonded to the glass.
    White,
    /// A film behind an air gap.
    Film,
}

/// One layer of substrate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SubstrateLayer {
    /// Material in words.
    pub material: String,
    /// Depth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_cm: Option<f64>,
    /// Dry mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<f64>,
}

/// A lamp as its keeper knows it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Lamp {
    /// Name in words.
    pub name: String,
    /// Stated luminous flux at full power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lumens: Option<f64>,
    /// Power drawn at full power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watts: Option<f64>,
    /// Stated photon flux, 400 to 700 nm, at full power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ppf_umol_s: Option<f64>,
    /// Height above the water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_cm: Option<f64>,
    /// Length of the lit part.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_cm: Option<f64>,
    /// Width of the lit part.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_cm: Option<f64>,
    /// Dimming at the start, percent of full power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dimming_pct: Option<f64>,
    /// Hours a day at the start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photoperiod_h: Option<f64>,
    /// When it goes on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_at: Option<Time>,
}

/// A filter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Filter {
    /// Kind in words.
    pub kind: String,
    /// Measured or stated flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow_l_h: Option<f64>,
}

/// A heater.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Heater {
    /// Rated power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watts: Option<f64>,
    /// Set point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_c: Option<f64>,
}

/// A CO2 supply.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Gas {
    /// Where the gas comes from.
    pub supply: GasSupply,
    /// Anything else: bubble rate, diffuser.
    #[serde(default)]
    pub note: String,
}

/// Where added CO2 comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GasSupply {
    /// A pressure cylinder.
    Cylinder,
    /// A fermenting bottle.
    Fermenting,
    /// Liquid carbon or anything else.
    Other,
}

/// Animals of one kind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Livestock {
    /// Species or kind.
    pub species: String,
    /// How many.
    pub count: u32,
}

impl Tank {
    /// A tank that has only its name.
    pub fn new(id: TankId, trial: TrialId, name: impl Into<String>, place: u32) -> Self {
        Tank {
            id,
            trial,
            name: name.into(),
            place,
            arm: None,
            length_cm: None,
            width_cm: None,
            height_cm: None,
            water_depth_cm: None,
            water_volume_l: None,
            walls: Walls::default(),
            substrate: vec![],
            hardscape_l: None,
            lamps: vec![],
            filter: None,
            heater: None,
            gas: None,
            livestock: vec![],
            note: String::new(),
        }
    }

    /// Depth of all substrate layers together, 0 without any.
    pub fn substrate_depth_cm(&self) -> f64 {
        self.substrate.iter().filter_map(|l| l.depth_cm).sum()
    }

    /// Water volume: as given, or box less substrate and hardscape.
    ///
    /// A bed of grains holds between 30 and 50 % water in its pores (common practice, no source), so
    /// the computed volume is an interval; the best figure takes 40 %.
    pub fn water_l(&self) -> Estimate {
        if let Some(given) = self.water_volume_l {
            return Estimate::error_not_stated(given, Basis::of("as given by the keeper", "tank"));
        }
        let basis = Basis::of(
            "length x width x (water depth - substrate depth x (1 - pore share)) - hardscape",
            "geometry; pore share 0.3 to 0.5: common practice, no source",
        );
        let (Some(length), Some(width), Some(depth)) =
            (self.length_cm, self.width_cm, self.water_depth_cm)
        else {
            return Estimate::refused(
                "tank_size_missing",
                format!(
                    "{} needs length, width and water depth, or its water volume",
                    self.name
                ),
                basis,
            );
        };
        let volume = |pores: f64| {
            let water_cm = depth - self.substrate_depth_cm() * (1.0 - pores);
            length * width * water_cm / 1000.0 - self.hardscape_l.unwrap_or(0.0)
        };
        match Interval::closed(volume(0.3), volume(0.5)) {
            Ok(within) if volume(0.3) > 0.0 => Estimate::bounds(Some(volume(0.4)), within, basis),
            _ => Estimate::refused(
                "tank_size_impossible",
                format!(
                    "{}: substrate and hardscape leave no room for water",
                    self.name
                ),
                basis,
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volume_is_the_box_less_substrate() {
        let id = uuid::Uuid::nil();
        let mut tank = Tank::new(TankId(id), TrialId(id), "Ash", 0);
        assert!(tank.water_l().refusal().is_some());
        tank.length_cm = Some(60.0);
        tank.width_cm = Some(30.0);
        tank.water_depth_cm = Some(33.0);
        // 60 x 30 x 33 cm = 59.4 L by geometry.
        assert_eq!(tank.water_l().value, Some(59.4));
        tank.substrate = vec![SubstrateLayer {
            material: "sand".into(),
            depth_cm: Some(5.0),
            mass_kg: None,
        }];
        let e = tank.water_l();
        // 59.4 - 9.0 x (1 - 0.3) = 53.1; 59.4 - 9.0 x 0.5 = 54.9.
        assert!((e.low.unwrap() - 53.1).abs() < 1e-9 && (e.high.unwrap() - 54.9).abs() < 1e-9);
    }
}
