//! What it cost: money paid once, money each month and minutes of work, tank by tank. Each has its
//! own figure, because their units are not the same.

use super::{known, style_of};
use answers::cost::{CurrencyCost, Figures, TankCost, Work};
use chart::plots::{About, Bar, BarRow, Bars, Known, SeriesName};
use chart::{RichText, Scene};
use quantity::{Estimate, EstimateKind, Format};
use text::t;
use trial::{Bench, TankId};

/// What was paid once for each tank, in one currency.
pub fn once(account: &CurrencyCost, bench: &Bench, width: f64) -> Scene {
    money(
        account,
        bench,
        t!("cost.figure_once", currency = account.currency),
        t!("cost.axis_once", currency = account.currency),
        &[
            (t!("cost.set_up"), |f| &f.set_up),
            (t!("cost.swaps"), |f| &f.swaps),
        ],
    )
    .scene(width)
}

/// What each tank costs a month, in one currency; wear is no cash and says so.
pub fn monthly(account: &CurrencyCost, bench: &Bench, width: f64) -> Scene {
    money(
        account,
        bench,
        t!("cost.figure_month", currency = account.currency),
        t!("cost.axis_month", currency = account.currency),
        &[
            (t!("cost.consumables"), |f| &f.consumables_month),
            (t!("cost.electricity"), |f| &f.electricity_month),
            (t!("cost.wear"), |f| &f.wear_month),
        ],
    )
    .scene(width)
}

/// Minutes of work a week in each tank.
pub fn work(work: &Work, bench: &Bench, width: f64) -> Scene {
    let series = work.tanks.iter().map(|t| series(bench, t.tank, &t.name));
    let bars: Vec<Option<Bar>> = work
        .tanks
        .iter()
        .map(|t| bar(&t.minutes_week, minutes))
        .collect();
    let row = BarRow {
        label: RichText::from(t!("cost.work")),
        bars,
    };
    let series: Vec<SeriesName> = series.collect();
    let title = t!("cost.figure_work").to_string();
    finished(title, t!("cost.axis_work").to_string(), series, vec![row]).scene(width)
}

type Pick = (&'static str, fn(&Figures) -> &Estimate);

fn money(
    account: &CurrencyCost,
    bench: &Bench,
    title: String,
    axis: String,
    rows: &[Pick],
) -> Bars {
    let of = |t: &TankCost| series(bench, t.tank, &t.name);
    let rows = rows.iter().map(|(label, pick)| BarRow {
        label: RichText::from(*label),
        bars: account
            .tanks
            .iter()
            .map(|t| bar(pick(&t.figures), |e| amount(e, 2)))
            .collect(),
    });
    // A row of nothing but zeros says less than its absence.
    let rows: Vec<BarRow> = rows.filter(|r| r.bars.iter().any(says_something)).collect();
    finished(title, axis, account.tanks.iter().map(of).collect(), rows)
}

fn says_something(bar: &Option<Bar>) -> bool {
    bar.as_ref()
        .is_some_and(|b| b.value.mid != Some(0.0) || b.value.low.is_some_and(|v| v > 0.0))
}

fn finished(title: String, axis: String, series: Vec<SeriesName>, rows: Vec<BarRow>) -> Bars {
    let said = rows.iter().map(|row| {
        let each: Vec<String> = series
            .iter()
            .zip(&row.bars)
            .map(|(s, b)| {
                let words = b
                    .as_ref()
                    .map_or(t!("cost.nothing_known"), |b| b.words.as_str());
                format!("{} {words}", s.name.to_plain())
            })
            .collect();
        format!("{}: {}.", row.label.to_plain(), each.join(", "))
    });
    let description: Vec<String> = std::iter::once(format!("{axis}.")).chain(said).collect();
    Bars {
        about: About {
            title,
            description: description.join(" "),
            heading: false,
        },
        series,
        domain: domain(&rows),
        rows,
        axis_words: axis,
    }
}

fn series(bench: &Bench, tank: TankId, name: &str) -> SeriesName {
    SeriesName {
        name: RichText::from(name),
        style: style_of(bench, tank),
    }
}

/// A sum of which only the lower end is known is a bar to that end with an arrow onwards.
fn bar(estimate: &Estimate, words: fn(&Estimate) -> Option<String>) -> Option<Bar> {
    let value = known(estimate)?;
    Some(Bar {
        value: Known {
            mid: value.mid.or(value.low),
            ..value
        },
        words: words(estimate)?,
    })
}

/// Room for the arrows of open sums; `None` leaves the scale to the data.
fn domain(rows: &[BarRow]) -> Option<(f64, f64)> {
    let bars = || rows.iter().flat_map(|r| r.bars.iter().flatten());
    let open = bars().any(|b| b.value.low.is_some() && b.value.high.is_none());
    let ends = bars().flat_map(|b| [b.value.mid, b.value.high]).flatten();
    open.then(|| (0.0, ends.fold(0.0, f64::max).max(1.0) * 1.2))
}

/// A sum of money or minutes in words: `12.50`, or `at least 12.50` where something has no price.
/// None when it is refused.
pub fn amount(estimate: &Estimate, decimals: usize) -> Option<String> {
    let n = |v| Format::default().fixed(v, decimals);
    match (&estimate.kind, estimate.value, estimate.low) {
        (EstimateKind::Refused { .. }, ..) => None,
        (_, Some(value), _) => Some(n(value)),
        (_, None, Some(low)) => Some(t!("cost.at_least", amount = n(low))),
        _ => None,
    }
}

/// Minutes of work in words: whole ones, since nobody notes them closer; tenths below one.
pub fn minutes(estimate: &Estimate) -> Option<String> {
    let size = estimate.value.or(estimate.low).unwrap_or(0.0);
    amount(estimate, usize::from(size > 0.0 && size < 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Basis, Interval};

    #[test]
    fn minutes_have_the_digits_they_were_noted_with() {
        let said = |v| minutes(&Estimate::error_not_stated(v, Basis::default())).unwrap();
        assert_eq!(said(43.47), "43");
        assert_eq!(said(0.219), "0.2");
        assert_eq!(said(0.0), "0");
        let open = Interval::at_least(0.219).unwrap();
        let open = Estimate::bounds(None, open, Basis::default());
        assert_eq!(minutes(&open).unwrap(), "at least 0.2");
    }
}
