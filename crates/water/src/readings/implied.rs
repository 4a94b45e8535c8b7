//! What a handful of kit readings implies: free CO2, ammonia, saturation, as intervals.

use quantity::{Basis, Estimate, Interval};

use super::halton::point;
use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::relations::oliver_1983 as humic;
use crate::solve::{Given, PH, TEMPERATURE_C, solve};
use crate::state::State;
use crate::water::Water;

/// Readings of one water, each the interval it is; what was not read is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// degC.
    pub temperature_c: Interval,
    /// pH.
    pub ph: Interval,
    /// Titrated alkalinity, dKH.
    pub kh_dkh: Interval,
    /// General hardness, dGH; taken as equal to KH where it was not read.
    pub gh_dgh: Option<Interval>,
    /// Conductivity at 25 degC, uS/cm; salt is added to the ions until they come to it.
    pub conductivity_us_cm: Option<Interval>,
    /// Phosphate, mg/L of PO4.
    pub po4_mg_l: Option<Interval>,
    /// Total ammonia, mg/L of N.
    pub tan_mg_l: Option<Interval>,
    /// Dissolved organic carbon, mg/L, of a water stained by wood or peat.
    pub doc_mg_l: Option<Interval>,
    /// Whether a substrate or filter that takes up or gives off acid or alkalinity is in use.
    pub active_substrate: bool,
}

/// What readings imply. Every estimate is an interval of bounds: if the readings are right, the
/// value is inside.
#[derive(Debug, Clone, PartialEq)]
pub struct Implied {
    /// Free CO2, mg/L.
    pub co2: Estimate,
    /// Un-ionised ammonia, mg/L of N; `None` where total ammonia was not read.
    pub nh3_n: Option<Estimate>,
    /// Un-ionised share of total ammonia, 0 to 1.
    pub nh3_fraction: Estimate,
    /// Calcite saturation index.
    pub calcite_saturation_index: Estimate,
    /// Conductivity at 25 degC that the ions come to, uS/cm.
    pub conductivity: Estimate,
    /// What the usual rule, 3 x KH x 10^(7 - pH), would say, mg/L.
    pub rule: Interval,
    /// Where the estimate of gas from KH and pH breaks, with the size of the break.
    pub breaks: Vec<Break>,
    /// Corners and points of the box that made no water, of how many.
    pub impossible: (u32, u32),
}

/// A reason why KH and pH do not give the gas.
#[derive(Debug, Clone, PartialEq)]
pub struct Break {
    /// Stable code.
    pub code: &'static str,
    /// One sentence a keeper can act on.
    pub text: String,
    /// By how much CO2 is overstated when it is ignored, as a ratio (1.27 is 27 %), over the box;
    /// `None` where its size cannot be told.
    pub ratio: Option<Interval>,
}

/// Points inside the box; its corners are taken as well.
const POINTS: u32 = 256;
/// Calcium to magnesium by mass where only GH is known: from dolomite to nearly pure calcium
/// waters.
const CA_TO_MG: (f64, f64) = (1.6, 10.0);
/// Numbers that span the box: temperature, pH, KH, GH, conductivity, PO4, TAN, DOC, Ca:Mg.
const DIMENSIONS: usize = 9;

struct Sampled {
    low: [f64; DIMENSIONS],
    high: [f64; DIMENSIONS],
    has_gh: bool,
    has_conductivity: bool,
}

/// One water of the box with what it would be if all its alkalinity were carbonate.
struct Sample {
    state: State,
    tan_mg_l: f64,
    rule: f64,
    phosphate_ratio: f64,
    humic_ratio: f64,
}

impl Sampled {
    fn new(r: &Readings) -> Result<Self, Unsolvable> {
        let gh = r.gh_dgh.unwrap_or(r.kh_dkh);
        let of = |i: Option<Interval>| i.map_or(Ok((0.0, 0.0)), |i| ends("reading", i, 0.0, 1e5));
        let ranges = [
            ends(
                "temperature_c",
                r.temperature_c,
                TEMPERATURE_C.0,
                TEMPERATURE_C.1,
            )?,
            ends("ph", r.ph, PH.0, PH.1)?,
            ends("kh_dkh", r.kh_dkh, 0.0, 100.0)?,
            ends("gh_dgh", gh, 0.0, 100.0)?,
            of(r.conductivity_us_cm)?,
            of(r.po4_mg_l)?,
            of(r.tan_mg_l)?,
            of(r.doc_mg_l)?,
            CA_TO_MG,
        ];
        Ok(Sampled {
            low: ranges.map(|r| r.0),
            high: ranges.map(|r| r.1),
            has_gh: r.gh_dgh.is_some(),
            has_conductivity: r.conductivity_us_cm.is_some(),
        })
    }

    /// The corners of the dimensions that have a width, then points inside.
    fn places(&self) -> impl Iterator<Item = [f64; DIMENSIONS]> {
        let wide: Vec<usize> = (0..DIMENSIONS)
            .filter(|d| self.high[*d] > self.low[*d])
            .collect();
        let corners = 1u32 << wide.len();
        (0..corners)
            .map(move |bits| {
                let mut at = [0.0; DIMENSIONS];
                for (k, d) in wide.iter().enumerate() {
                    at[*d] = f64::from(bits >> k & 1);
                }
                at
            })
            .chain((1..=POINTS).map(point::<DIMENSIONS>))
    }

    fn at(&self, place: [f64; DIMENSIONS]) -> [f64; DIMENSIONS] {
        std::array::from_fn(|d| self.low[d] + place[d] * (self.high[d] - self.low[d]))
    }
}

/// Closed ends: an open low end becomes the lowest that can be, an open high end is refused.
fn ends(field: &'static str, i: Interval, low: f64, high: f64) -> Result<(f64, f64), Unsolvable> {
    let top = i.high().ok_or(Unsolvable::Missing {
        what: "an upper end of every reading",
        why: "\"at least\" leaves the answer open; dilute the sample and test again",
    })?;
    Ok((
        within(field, i.low().unwrap_or(low), low, high)?,
        within(field, top, low, high)?,
    ))
}

/// Free CO2, ammonia, saturation and conductivity from readings, by the corners of the box of
/// readings and 256 Halton points inside it. The interval is the answer; its `value` is the median
/// of the points, a place to draw a mark.
///
/// Errors when a needed reading has no upper end or is out of range, or no water fits any of it.
pub fn implied(readings: &Readings) -> Result<Implied, Unsolvable> {
    let sampled = Sampled::new(readings)?;
    let mut samples = Vec::new();
    let mut tried = 0;
    let mut why = None;
    for place in sampled.places() {
        tried += 1;
        match sample(&sampled, sampled.at(place)) {
            Ok(found) => samples.push(found),
            Err(error) => why = Some(error),
        }
    }
    if samples.is_empty() {
        return Err(why.unwrap_or(Unsolvable::Missing {
            what: "readings",
            why: "none were given",
        }));
    }
    let basis = || {
        Basis::of(
            "pH and alkalinity with activities and ion pairs, over the box of readings (corners and \
             256 Halton points)",
            "Plummer and Busenberg 1982; Truesdell and Jones 1974; Emerson et al. 1975",
        )
    };
    let over = |of: &dyn Fn(&Sample) -> f64| bounds(&samples, of, basis());
    Ok(Implied {
        co2: over(&|s| s.state.co2_mg_l),
        nh3_n: readings
            .tan_mg_l
            .map(|_| over(&|s| s.state.nh3_fraction * s.tan_mg_l)),
        nh3_fraction: over(&|s| s.state.nh3_fraction),
        calcite_saturation_index: over(&|s| s.state.calcite_saturation_index),
        conductivity: over(&|s| s.state.conductivity_25_us_cm),
        rule: range(&samples, &|s| s.rule).unwrap_or(Interval::UNBOUNDED),
        breaks: breaks(readings, &samples),
        impossible: (tried - samples.len() as u32, tried),
    })
}

/// The water of one point of the box: ions balanced with sodium or chloride, then salt until the
/// conductivity is met.
fn sample(box_: &Sampled, x: [f64; DIMENSIONS]) -> Result<Sample, Unsolvable> {
    let [
        temperature_c,
        ph,
        kh,
        gh,
        conductivity,
        po4,
        tan,
        doc,
        ca_to_mg,
    ] = x;
    let titrated = kh * quantity::analyte::MEQ_L_PER_DKH;
    let humic_meq = humic::titrated_meq_l(doc, ph, 4.5).max(0.0);
    let gh = if box_.has_gh { gh } else { kh };
    let hardness = gh * 10.0 / mass::CAO;
    let (ca, mg) = (ca_to_mg / mass::CA, 1.0 / mass::MG);
    let calcium = hardness * ca / (ca + mg);
    let mut water = Water {
        temperature_c,
        alkalinity_meq_l: titrated - humic_meq,
        ca_mg_l: calcium * mass::CA,
        mg_mg_l: (hardness - calcium) * mass::MG,
        po4_mg_l: po4,
        tan_mg_l: tan,
        ..Water::default()
    };
    // Strong ions have to sum to the titrated alkalinity (phosphate counts once).
    let gap = titrated + po4 / mass::PO4 - 2.0 * hardness - tan / mass::N;
    if gap > 0.0 {
        water.na_mg_l = gap * mass::NA;
    } else {
        water.cl_mg_l = -gap * mass::CL;
    }
    let given = Given::Ph(ph);
    let mut state = solve(&water, given)?;
    if box_.has_conductivity && conductivity > state.conductivity_25_us_cm {
        // Sodium chloride conducts about 118 uS/cm per mmol/L; a second step mends the rest.
        for _ in 0..2 {
            let more = (conductivity - state.conductivity_25_us_cm).max(0.0) / 118.0;
            water.na_mg_l += more * mass::NA;
            water.cl_mg_l += more * mass::CL;
            state = solve(&water, given)?;
        }
    }
    let without =
        |w: Water| -> Result<f64, Unsolvable> { Ok(solve(&w, given)?.co2_mg_l / state.co2_mg_l) };
    let phosphate_ratio = if po4 > 0.0 {
        without(Water {
            po4_mg_l: 0.0,
            ..water
        })?
    } else {
        1.0
    };
    let humic_ratio = if doc > 0.0 {
        without(Water {
            alkalinity_meq_l: titrated,
            ..water
        })?
    } else {
        1.0
    };
    Ok(Sample {
        state,
        tan_mg_l: tan,
        rule: rule_of_thumb_mg_l(kh, ph),
        phosphate_ratio,
        humic_ratio,
    })
}

/// `3 KH 10^(7 - pH)`, the rule keepers use: true at 32 degC or in mineral-rich water, by 7 % too
/// low in the median, by up to 20 % off either way. Common practice, no source. Shown beside the
/// answer, never instead of it.
#[must_use]
pub fn rule_of_thumb_mg_l(kh_dkh: f64, ph: f64) -> f64 {
    3.0 * kh_dkh * 10f64.powf(7.0 - ph)
}

fn range(samples: &[Sample], of: &dyn Fn(&Sample) -> f64) -> Option<Interval> {
    let values = samples.iter().map(of).filter(|v| v.is_finite());
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
        (low.min(v), high.max(v))
    });
    Interval::closed(low, high).ok()
}

fn bounds(samples: &[Sample], of: &dyn Fn(&Sample) -> f64, basis: Basis) -> Estimate {
    let Some(range) = range(samples, of) else {
        return Estimate::refused(
            "no_value",
            "these readings leave it without a value (no calcium or no carbonate)",
            basis,
        );
    };
    let mut values: Vec<f64> = samples.iter().map(of).filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    Estimate::bounds(Some(values[values.len() / 2]), range, basis)
}

/// Overstatement from which a break is worth a sentence.
const WORTH_SAYING: f64 = 1.02;

fn breaks(readings: &Readings, samples: &[Sample]) -> Vec<Break> {
    let mut found = Vec::new();
    let percent = |i: &Interval| 100.0 * (i.high().unwrap_or(1.0) - 1.0);
    let phosphate = range(samples, &|s| s.phosphate_ratio);
    if let Some(ratio) = phosphate.filter(|i| i.high() > Some(WORTH_SAYING)) {
        found.push(Break {
            code: "phosphate_in_kh",
            text: format!(
                "phosphate is titrated as KH: ignoring it would overstate CO2 by up to {:.0} %",
                percent(&ratio)
            ),
            ratio: Some(ratio),
        });
    }
    let stained = range(samples, &|s| s.humic_ratio);
    if let Some(ratio) = stained.filter(|i| i.high() > Some(WORTH_SAYING)) {
        found.push(Break {
            code: "humic_in_kh",
            text: format!(
                "organic acids of stained water are titrated as KH: ignoring them would overstate \
                 CO2 by up to {:.0} %; the model of them is rough",
                percent(&ratio)
            ),
            ratio: Some(ratio),
        });
    }
    if readings.active_substrate {
        found.push(Break {
            code: "active_substrate",
            text: "a substrate that takes up alkalinity puts other acids in the water between \
                   readings: KH and pH of the same hour only, and better a measured kLa or an \
                   indicator vessel"
                .into(),
            ratio: None,
        });
    }
    if readings.kh_dkh.low().unwrap_or(0.0) < 1.0 {
        found.push(Break {
            code: "little_kh",
            text:
                "below 1 dKH a trace of any other acid or base weighs as much as the bicarbonate; \
                   the interval holds only if there is none"
                    .into(),
            ratio: None,
        });
    }
    found
}
