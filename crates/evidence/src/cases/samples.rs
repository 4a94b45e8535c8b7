//! Cases given as plain lists: t, exact tests, power, pseudoreplication, many p-values.

use serde_json::{Value, json};

use super::fields::Fields;
use crate::power::{Counting, Plan};
use crate::summary::check_lengths;
use crate::t::TTest;
use crate::{
    NoAnswer, Outcome, Unusable, multiplicity as adjust, permutation as exact, t as ttest,
};
use crate::{power as plan, pseudoreplication as pseudo};

/// Level where a case names none.
pub(super) const LEVEL: f64 = 0.95;

pub(super) fn t(input: &Fields) -> Result<Value, NoAnswer> {
    let x = input.numbers("x")?;
    let level = input.number_or("level", LEVEL)?;
    let result = match input.text("kind")? {
        "one-sample" | "one_sample" | "one" => {
            ttest::one_sample(&x, input.number_or("mu", 0.0)?, level)?
        }
        "paired" => ttest::paired(&x, &input.numbers("y")?, level)?,
        "pooled" => ttest::pooled(&x, &input.numbers("y")?, level)?,
        "welch" => ttest::welch(&x, &input.numbers("y")?, level)?,
        _ => {
            return Err(Unusable::Key {
                key: "kind".into(),
                accepted: "one-sample, paired, pooled or welch".into(),
            }
            .into());
        }
    };
    Ok(t_values(&result))
}

pub(super) fn t_values(result: &TTest) -> Value {
    json!({
        "t": result.t, "df": result.df, "p": result.p, "estimate": result.estimate,
        "lo": result.interval.low, "hi": result.interval.high, "se": result.se,
    })
}

pub(super) fn permutation(input: &Fields) -> Result<Value, NoAnswer> {
    if input.has("d") {
        return Ok(exact_values(&exact::sign_flip(&input.numbers("d")?)?));
    }
    let (x, y) = (input.numbers("x")?, input.numbers("y")?);
    let mut answer = exact_values(&exact::mean_difference(&x, &y)?);
    let ranks = Outcome::from_result(exact::rank_sum(&x, &y, input.number_or("level", LEVEL)?))?;
    if let Outcome::Estimated(ranks) = ranks {
        let interval = ranks.interval.estimated();
        answer["W"] = json!(ranks.w);
        answer["p"] = json!(ranks.p);
        answer["hl"] = json!(ranks.shift);
        answer["lo"] = json!(interval.map(|i| i.low));
        answer["hi"] = json!(interval.map(|i| i.high));
    }
    Ok(answer)
}

fn exact_values(result: &exact::Permutation) -> Value {
    json!({
        "observed": result.observed, "n_perm": result.n_perm, "p_two": result.p_two,
        "p_greater": result.p_greater, "p_less": result.p_less,
        "smallest_possible_two": result.smallest_possible_two,
    })
}

/// Computed cases count findings as their notes say: power with both directions, and differences
/// or tanks worked back from a power with the right one, but for nested designs.
pub(super) fn power(input: &Fields) -> Result<Value, NoAnswer> {
    let alpha = input.number_or("alpha", 0.05)?;
    if input.has("sd_tank") {
        return nested_power(input, alpha);
    }
    let sd = input.number_or("sd", 1.0)?;
    if !input.has("n") {
        let (delta, power) = (input.numbers("delta")?, input.numbers("power")?);
        check_lengths("delta", delta.len(), "power", power.len())?;
        let needed = each(delta.iter().zip(&power), |(d, p)| {
            plan::tanks_needed(*d, sd, alpha, *p).map(|n| n.before_rounding)
        })?;
        return Ok(json!({ "n": needed }));
    }
    let paired = matches!(input.text("type"), Ok("paired"));
    let n = input.counts("n")?;
    let plan_of = |n: usize| {
        if paired {
            Plan::Pairs { pairs: n }
        } else {
            Plan::TwoArms { tanks_per_arm: n }
        }
    };
    if input.has("power") {
        let power = input.numbers("power")?;
        check_lengths("n", n.len(), "power", power.len())?;
        let delta = each(n.iter().zip(&power), |(n, p)| {
            plan::minimum_detectable(plan_of(*n), sd, alpha, *p, Counting::RightDirection)
        })?;
        return Ok(json!({ "delta": delta }));
    }
    let delta = input.numbers("delta")?;
    check_lengths("n", n.len(), "delta", delta.len())?;
    let power = each(n.iter().zip(&delta), |(n, d)| {
        plan::power(plan_of(*n), *d, sd, alpha, Counting::BothDirections)
    })?;
    Ok(json!({ "power": power }))
}

fn nested_power(input: &Fields, alpha: f64) -> Result<Value, NoAnswer> {
    let delta = input.number("delta")?;
    let (n, m) = (input.counts("n")?, input.counts("m")?);
    let (tank, plant) = (input.numbers("sd_tank")?, input.numbers("sd_plant")?);
    for (name, length) in [
        ("m", m.len()),
        ("sd_tank", tank.len()),
        ("sd_plant", plant.len()),
    ] {
        check_lengths("n", n.len(), name, length)?;
    }
    let designs = || {
        (0..n.len()).map(|i| {
            let sd = plan::sd_of_tank_means(tank[i], plant[i], m[i])?;
            Ok::<_, NoAnswer>((
                Plan::TwoArms {
                    tanks_per_arm: n[i],
                },
                sd,
            ))
        })
    };
    let power = each(designs(), |design| {
        let (plan, sd) = design?;
        plan::power(plan, delta, sd, alpha, Counting::BothDirections)
    })?;
    let detectable = each(designs(), |design| {
        let (plan, sd) = design?;
        plan::minimum_detectable(plan, sd, alpha, 0.8, Counting::BothDirections)
    })?;
    Ok(json!({ "mde80": detectable, "power": power }))
}

pub(super) fn pseudoreplication(input: &Fields) -> Result<Value, NoAnswer> {
    let alpha = input.number_or("alpha", 0.05)?;
    let (m, icc) = (input.counts("m")?, input.numbers("icc")?);
    check_lengths("m", m.len(), "icc", icc.len())?;
    let rate = each(m.iter().zip(&icc), |(m, icc)| {
        pseudo::pseudoreplication_rate(*m, *icc, alpha)
    })?;
    Ok(json!({ "false_positive": rate }))
}

pub(super) fn multiplicity(input: &Fields) -> Result<Value, NoAnswer> {
    let p = input.numbers("p")?;
    Ok(json!({
        "holm": adjust::holm(&p)?,
        "bonferroni": adjust::bonferroni(&p)?,
        "bh": adjust::benjamini_hochberg(&p)?,
    }))
}

fn each<T>(
    items: impl Iterator<Item = T>,
    one: impl FnMut(T) -> Result<f64, NoAnswer>,
) -> Result<Vec<f64>, NoAnswer> {
    items.map(one).collect()
}
