//! Cases given as tables: analysis of variance, certified sets, log response ratios.

use serde_json::{Value, json};

use super::fields::{Fields, grouped, labels, numbers};
use super::samples::LEVEL;
use crate::anova::{Anova, one_way, tukey};
use crate::response_ratio::{ArmMoments, lnrr};
use crate::summary::check_lengths;
use crate::{NoAnswer, Outcome, Unusable, regression};

/// One column of numbers and one of labels; the answer has the table both bare and under the key
/// `anova`, since cases ask for either.
pub(super) fn anova(input: &Fields) -> Result<Value, NoAnswer> {
    let data = input.inner("data")?;
    let (factor, names) = column(&data, "a column of labels", |v| {
        if numbers(v).is_some() {
            None
        } else {
            labels(v)
        }
    })?;
    let (response, mut values) = column(&data, "a column of numbers", numbers)?;
    check_lengths(factor, names.len(), response, values.len())?;
    match input.text("transform") {
        Ok("sqrt") => values.iter_mut().for_each(|v| *v = v.sqrt()),
        Ok("log") => values.iter_mut().for_each(|v| *v = v.ln()),
        _ => {}
    }
    let result = one_way(&grouped(&names, &values))?;
    let pairs = tukey(&result, input.number_or("level", LEVEL)?)?;
    let mut answer = anova_values(factor, &result);
    answer["anova"] = answer.clone();
    answer["tukey"] = json!({
        "pair": pairs.iter().map(|p| format!("{}-{}", p.of, p.against)).collect::<Vec<_>>(),
        "diff": pairs.iter().map(|p| p.difference).collect::<Vec<_>>(),
        "lo": pairs.iter().map(|p| p.interval.low).collect::<Vec<_>>(),
        "hi": pairs.iter().map(|p| p.interval.high).collect::<Vec<_>>(),
        "p_adj": pairs.iter().map(|p| p.p).collect::<Vec<_>>(),
    });
    Ok(answer)
}

pub(super) fn anova_values(factor: &str, table: &Anova) -> Value {
    json!({
        "term": [factor, "Residuals"],
        "df": [table.df_between, table.df_within],
        "ss": [table.ss_between, table.ss_within],
        "ms": [table.ms_between, table.ms_within],
        "F": [json!(table.f), Value::Null],
        "p": [json!(table.p), Value::Null],
    })
}

fn column<'a, T>(
    data: &Fields<'a>,
    accepted: &str,
    read: impl Fn(&Value) -> Option<T>,
) -> Result<(&'a str, T), Unusable> {
    data.entries()
        .find_map(|(name, value)| Some((name.as_str(), read(value)?)))
        .ok_or_else(|| Unusable::Key {
            key: "data".into(),
            accepted: accepted.into(),
        })
}

/// Certified sets: one-way tables have a `group`, lines an `x`.
pub(super) fn nist(input: &Fields) -> Result<Value, NoAnswer> {
    let y = input.numbers("y")?;
    if input.has("group") {
        let group = input.labels("group")?;
        check_lengths("group", group.len(), "y", y.len())?;
        let a = one_way(&grouped(&group, &y))?;
        return Ok(json!({
            "df_between": a.df_between, "ss_between": a.ss_between, "ms_between": a.ms_between,
            "df_within": a.df_within, "ss_within": a.ss_within, "ms_within": a.ms_within,
            "F": a.f, "p": a.p, "r2": a.r2, "residual_sd": a.residual_sd,
        }));
    }
    let line = regression::line(&input.numbers("x")?, &y)?;
    let errors = match line.errors {
        Outcome::Estimated(errors) => errors,
        Outcome::Refused(refusal) => return Err(refusal.into()),
    };
    Ok(json!({
        "b0": line.intercept, "se_b0": errors.se_intercept,
        "b1": line.slope, "se_b1": errors.se_slope,
        "residual_sd": errors.residual_sd, "r2": line.r2,
    }))
}

/// Rows of means, sds and numbers of two arms, with column names ending in `i` or not.
pub(super) fn response_ratios(input: &Fields) -> Result<Value, NoAnswer> {
    let data = input.inner("data")?;
    let end = if data.has("m1i") { "i" } else { "" };
    let arm = |which: u8| -> Result<Vec<ArmMoments>, Unusable> {
        let key = |name: &str| format!("{name}{which}{end}");
        let mean = data.numbers(&key("m"))?;
        let sd = data.numbers(&key("sd"))?;
        let n = data.counts(&key("n"))?;
        check_lengths(&key("m"), mean.len(), &key("sd"), sd.len())?;
        check_lengths(&key("m"), mean.len(), &key("n"), n.len())?;
        Ok((0..n.len())
            .map(|i| ArmMoments {
                mean: mean[i],
                sd: sd[i],
                n: n[i],
            })
            .collect())
    };
    let (first, second) = (arm(1)?, arm(2)?);
    check_lengths("arm 1", first.len(), "arm 2", second.len())?;
    let ratios = first
        .into_iter()
        .zip(second)
        .map(|(a, b)| lnrr(a, b))
        .collect::<Result<Vec<_>, _>>()?;
    let level = input.number_or("level", LEVEL)?;
    let intervals = ratios
        .iter()
        .map(|r| r.interval(level))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(json!({
        "yi": ratios.iter().map(|r| r.ln_ratio).collect::<Vec<_>>(),
        "vi": ratios.iter().map(|r| r.variance).collect::<Vec<_>>(),
        "yi_corrected": ratios.iter().map(|r| r.corrected_ln_ratio).collect::<Vec<_>>(),
        "vi_corrected": ratios.iter().map(|r| r.corrected_variance).collect::<Vec<_>>(),
        "lo_z": intervals.iter().map(|i| i.low).collect::<Vec<_>>(),
        "hi_z": intervals.iter().map(|i| i.high).collect::<Vec<_>>(),
    }))
}
