//! Every expected figure is worked by hand in the comment beside it.

use super::sample::*;
use super::*;
use jiff::ToSpan;
use quantity::EstimateKind;
use trial::act::Swap;
use trial::equipment::EquipmentKind::{Consumable, Durable};
use trial::types::Money;
use trial::{Act, Entry, EquipmentId};

fn close(e: &Estimate, wanted: f64) {
    let value = e.value.unwrap_or(f64::NAN);
    assert!((value - wanted).abs() < 1e-9, "{value} is not {wanted}");
}

fn day(n: i64) -> Date {
    START.checked_add(n.days()).unwrap()
}

/// Four lamps bought together, sand in Ash alone, tablets for Ash and Oak.
fn equipped() -> Bench {
    let mut bench = bench();
    bench.trial.electricity_per_kwh = Some(eur(0.30));
    let mut lamps = thing(10, Durable, &[], 240.0, 60.0);
    lamps.power_w = Some(100.0);
    lamps.hours_per_day = Some(7.0);
    bench.equipment = vec![
        lamps,
        thing(11, Durable, &[tank(1)], 10.0, 100.0),
        thing(12, Consumable, &[tank(1), tank(4)], 12.0, 6.0),
    ];
    bench
}

#[test]
fn shared_things_are_split_equally() {
    let answer = cost(&equipped(), &[], day(30));
    assert!(answer.findings.is_empty(), "{:?}", answer.findings);
    let [eur] = answer.currencies.as_slice() else {
        panic!("one currency")
    };
    // 240 + 10; Ash 240 / 4 + 10; sand arm (Ash, Oak) 70 + 60, half of that per tank.
    close(&eur.whole.set_up, 250.0);
    assert_eq!(eur.whole.set_up.kind, EstimateKind::Exact);
    close(&eur.tanks[0].figures.set_up, 70.0);
    close(&eur.tanks[1].figures.set_up, 60.0);
    close(&eur.arms[0].whole.set_up, 130.0);
    close(&eur.arms[0].per_tank.set_up, 65.0);
    close(&eur.arms[1].per_tank.set_up, 60.0);
    // 240 / 60 + 10 / 100; Ash a quarter of 4 and all of 0.1.
    close(&eur.whole.wear_month, 4.1);
    close(&eur.tanks[0].figures.wear_month, 1.1);
    // 12 / 6; half for Ash.
    close(&eur.whole.consumables_month, 2.0);
    close(&eur.tanks[0].figures.consumables_month, 1.0);
    // 0.1 kW x 7 h x 30.4375 d = 21.30625 kWh; x 0.30 = 6.391875.
    close(&answer.electricity_kwh_month, 21.306_25);
    close(&eur.whole.electricity_month, 6.391_875);
    // 2 + 6.391875; wear is not in it.
    close(&eur.whole.cash_month, 8.391_875);
    assert_eq!(eur.whole.cash_month.kind, EstimateKind::ErrorNotStated);
    // Nothing consumed is recorded for Elm: no figure, and not nothing.
    assert!(eur.tanks[1].figures.consumables_month.refusal().is_some());
    // 6.391875 / 4.
    close(&eur.tanks[1].figures.cash_month, 1.597_968_75);
}

#[test]
fn tanks_add_up_to_the_whole() {
    let answer = cost(&equipped(), &[], day(30));
    let eur = &answer.currencies[0];
    let sum = |pick: &dyn Fn(&Figures) -> Option<f64>| -> f64 {
        eur.tanks.iter().filter_map(|t| pick(&t.figures)).sum()
    };
    assert!((sum(&|f| f.set_up.value) - 250.0).abs() < 1e-9);
    assert!((sum(&|f| f.cash_month.value) - 8.391_875).abs() < 1e-9);
    assert!((sum(&|f| f.wear_month.value) - 4.1).abs() < 1e-9);
}

#[test]
fn a_missing_price_leaves_the_sum_open_and_is_said() {
    let mut bench = equipped();
    bench.equipment[1].price = None;
    let answer = cost(&bench, &[], day(30));
    assert!(sample::has(&answer.findings, "cost_price_missing"));
    let eur = &answer.currencies[0];
    // Ash: at least a quarter of 240; Elm is not touched by what serves Ash.
    let ash = &eur.tanks[0].figures.set_up;
    assert_eq!((ash.value, ash.low, ash.high), (None, Some(60.0), None));
    assert_eq!(eur.tanks[1].figures.set_up.kind, EstimateKind::Exact);
    assert_eq!(eur.whole.set_up.low, Some(240.0));
}

#[test]
fn each_lack_has_its_finding() {
    let mut bench = equipped();
    bench.trial.electricity_per_kwh = None;
    bench.equipment[0].life_months = None;
    bench.equipment[1].price = Some(eur(-1.0));
    bench.equipment[2].bought = Some(day(400));
    let mut pump = thing(13, Durable, &[tank(99)], 20.0, 24.0);
    pump.hours_per_day = Some(24.0);
    bench.equipment.push(pump);
    let mut heater = thing(14, Durable, &[], 20.0, 24.0);
    heater.power_w = Some(50.0);
    bench.equipment.push(heater);
    let answer = cost(&bench, &[], day(30));
    for code in [
        "cost_tariff_missing",
        "cost_life_missing",
        "cost_price_impossible",
        "cost_not_bought_yet",
        "cost_tank_unknown",
        "cost_power_missing",
        "cost_hours_missing",
    ] {
        assert!(sample::has(&answer.findings, code), "{code}");
    }
    assert!(answer.findings.iter().all(|f| !f.remedy.is_empty()));
    // 21.30625 kWh of the lamps is a lower end: the heater's hours are not known.
    assert_eq!(answer.electricity_kwh_month.high, None);
    assert_eq!(answer.electricity_kwh_month.value, None);
    // Without a price of electricity that sum is open as well.
    let open = &answer.currencies[0].whole.electricity_month;
    assert_eq!((open.value, open.low), (None, Some(0.0)));
}

#[test]
fn currencies_stay_apart() {
    let mut bench = equipped();
    bench.equipment[1].price = Some(Money {
        amount: 10.0,
        currency: " usd".into(),
    });
    let answer = cost(&bench, &[], day(30));
    let codes: Vec<&str> = answer
        .currencies
        .iter()
        .map(|c| c.currency.as_str())
        .collect();
    assert_eq!(codes, ["EUR", "USD"]);
    close(&answer.currencies[0].whole.set_up, 240.0);
    close(&answer.currencies[1].whole.set_up, 10.0);
    assert!(
        answer.currencies[1]
            .whole
            .electricity_month
            .refusal()
            .is_some()
    );
}

#[test]
fn what_left_wears_no_more_and_what_came_is_paid_once() {
    let mut bench = equipped();
    let mut old = thing(13, Durable, &[tank(2)], 30.0, 30.0);
    old.name = "Small filter".into();
    let new = thing(14, Durable, &[tank(2)], 45.0, 45.0);
    bench.equipment.extend([old, new]);
    let swap = Swap {
        left: "small filter ".into(),
        came: "Large filter".into(),
        price: Some(eur(40.0)),
        equipment: Some(EquipmentId(id(14))),
    };
    let swapped = entry(1, 10, &[tank(2)], Act::Swap(swap));
    let before = cost(&bench, std::slice::from_ref(&swapped), day(9));
    // Not yet exchanged: 250 + 30; what comes later is neither set-up nor wear yet (4.1 + 30 / 30).
    close(&before.currencies[0].whole.set_up, 280.0);
    close(&before.currencies[0].whole.wear_month, 5.1);
    let after = cost(&bench, &[swapped], day(30));
    let eur = &after.currencies[0];
    // Set-up 250 + 30; the exchange 40 as paid; wear 4.1 + 45 / 45 without the old one's 1.
    close(&eur.whole.set_up, 280.0);
    close(&eur.whole.swaps, 40.0);
    close(&eur.tanks[1].figures.swaps, 40.0);
    close(&eur.tanks[0].figures.swaps, 0.0);
    close(&eur.whole.wear_month, 5.1);
}

/// Four heaters bought together as one record of 80 EUR, 48 W and 40 months; one in Elm is exchanged
/// on day 100 for one of 20 EUR, 12 W and 40 months, listed as well.
fn one_heater_of_four(link: Option<u128>, left: &str) -> (Bench, Entry) {
    let mut bench = bench();
    bench.trial.electricity_per_kwh = Some(eur(0.50));
    let mut four = thing(20, Durable, &[], 80.0, 40.0);
    four.name = "Four heaters".into();
    four.bought = Some(START);
    let mut new = thing(21, Durable, &[tank(2)], 20.0, 40.0);
    new.name = "New heater".into();
    new.bought = Some(day(99));
    for (heater, watts) in [(&mut four, 48.0), (&mut new, 12.0)] {
        heater.power_w = Some(watts);
        heater.hours_per_day = Some(10.0);
    }
    bench.equipment = vec![four, new];
    let swap = Swap {
        left: left.into(),
        came: "new heater".into(),
        price: None,
        equipment: link.map(|n| EquipmentId(id(n))),
    };
    (bench, entry(1, 100, &[tank(2)], Act::Swap(swap)))
}

#[test]
fn one_heater_of_a_set_that_was_exchanged_is_counted_once() {
    // With the record named in the entry, and with its name alone.
    for link in [Some(21), None] {
        let (bench, swapped) = one_heater_of_four(link, "heater that stuck");
        let answer = cost(&bench, &[swapped], day(120));
        let eur = &answer.currencies[0];
        // Set-up: the four heaters, 80. The exchange: 20, in its month (day 100 after 1 January 2024
        // is 10 April).
        close(&eur.whole.set_up, 80.0);
        close(&eur.whole.swaps, 20.0);
        let line = eur.lines.iter().find(|l| l.figure == Figure::Swaps);
        assert_eq!(
            line.and_then(|l| l.paid),
            Some(jiff::civil::date(2024, 4, 10))
        );
        // Wear: three quarters of 80 / 40, and 20 / 40: 1.5 + 0.5; in Elm 0.5, in Ash 1.5 / 3.
        close(&eur.whole.wear_month, 2.0);
        close(&eur.tanks[1].figures.wear_month, 0.5);
        close(&eur.tanks[0].figures.wear_month, 0.5);
        // Power: 36 W + 12 W, 10 h a day, 30.4375 d: 14.61 kWh; x 0.50 = 7.305; a quarter in Elm.
        close(&answer.electricity_kwh_month, 14.61);
        close(&eur.whole.electricity_month, 7.305);
        close(&eur.tanks[1].figures.electricity_month, 1.826_25);
        assert!(has(&answer.findings, "cost_swap_of_a_set"));
    }
}

#[test]
fn a_listed_thing_that_came_for_nobody_knows_what_is_said() {
    let (bench, swapped) = one_heater_of_four(Some(21), "the old one");
    let answer = cost(&bench, &[swapped], day(120));
    assert!(has(&answer.findings, "cost_swap_left_unknown"));
    // 48 W + 12 W: nothing says that the old one is among the four.
    close(&answer.electricity_kwh_month, 18.262_5);
}

#[test]
fn an_exchange_taken_back_costs_nothing() {
    let swap = Swap {
        left: "a".into(),
        came: "b".into(),
        price: Some(eur(40.0)),
        equipment: None,
    };
    let first = entry(1, 10, &[tank(2)], Act::Swap(swap));
    let kept = cost(&equipped(), std::slice::from_ref(&first), day(30));
    assert!(sample::has(&kept.findings, "cost_swap_not_listed"));
    close(&kept.currencies[0].whole.swaps, 40.0);
    let mut undo = entry(2, 11, &[tank(2)], Act::Undo);
    undo.supersedes = Some(first.id);
    let answer = cost(&equipped(), &[first, undo], day(30));
    close(&answer.currencies[0].whole.swaps, 0.0);
}

#[test]
fn minutes_are_split_over_the_tanks_of_the_entry() {
    let mut all_of_them = entry(1, 0, &all(), change());
    all_of_them.minutes = Some(40.0);
    let mut ash = entry(2, 3, &[tank(1)], change());
    ash.minutes = Some(6.0);
    let mut nowhere = entry(3, 4, &[], Act::Note);
    nowhere.minutes = Some(10.0);
    // 14 days, first and last counted.
    let work = cost(&bench(), &[all_of_them, ash, nowhere], day(13)).work;
    close(&work.whole_min, 56.0);
    close(&work.whole_min_week, 28.0);
    close(&work.no_tank_min, 10.0);
    // 40 / 4 + 6; 40 / 4.
    close(&work.tanks[0].minutes, 16.0);
    close(&work.tanks[0].minutes_week, 8.0);
    close(&work.tanks[1].minutes, 10.0);
    // Ash and Oak 16 + 10, half of it per tank.
    close(&work.arms[0].minutes, 26.0);
    close(&work.arms[0].minutes_per_tank, 13.0);
    assert_eq!((work.entries, work.without_minutes), (3, 0));
}

#[test]
fn work_without_minutes_is_at_least_what_was_noted() {
    let mut noted = entry(1, 0, &[tank(1)], change());
    noted.minutes = Some(20.0);
    let entries = [
        noted,
        entry(2, 1, &[tank(1)], change()),
        entry(3, 1, &all(), Act::Note),
    ];
    let answer = cost(&bench(), &entries, day(3));
    assert!(sample::has(&answer.findings, "cost_minutes_missing"));
    let whole = &answer.work.whole_min;
    assert_eq!(
        (whole.value, whole.low, whole.high),
        (None, Some(20.0), None)
    );
    // The bare note is no work; four days are no week.
    assert_eq!((answer.work.entries, answer.work.without_minutes), (2, 1));
    assert!(answer.work.whole_min_week.refusal().is_some());
    // Elm has none of it.
    close(&answer.work.tanks[1].minutes, 0.0);
}

#[test]
fn an_empty_list_says_so() {
    let answer = cost(&bench(), &[], day(0));
    assert!(answer.currencies.is_empty());
    assert!(sample::has(&answer.findings, "cost_nothing_recorded"));
    assert!(answer.electricity_kwh_month.refusal().is_some());
}

#[test]
fn lamps_that_draw_no_power_are_named() {
    let mut bench = equipped();
    bench.equipment[0].tanks = vec![tank(1)];
    bench.tanks[2].lamps = vec![trial::tank::Lamp::default()];
    let answer = cost(&bench, &[], day(0));
    let found = answer
        .findings
        .iter()
        .find(|f| f.code == "cost_no_power_listed")
        .unwrap();
    assert!(found.what.contains("Fir") && !found.what.contains("Ash"));
}
