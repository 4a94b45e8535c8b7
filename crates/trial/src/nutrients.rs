//! What a dose brings, in milligrams per tank.

use crate::Bench;
use crate::act::{Dose, DoseOf};
use quantity::{Amount, Analyte, Unit};

/// What one tank gets from `dose`, in mg as the ion, one row an analyte.
///
/// A salt counts by its composition from IUPAC atomic weights (`quantity::salt`); a product by its
/// stated composition or its recipe. A product that is not recorded, or an amount that does not fit
/// what it comes in, brings nothing known: the list is then empty.
pub fn nutrients_mg(dose: &Dose, bench: &Bench) -> Vec<(Analyte, f64)> {
    brought(dose, bench).unwrap_or_default()
}

fn brought(dose: &Dose, bench: &Bench) -> Option<Vec<(Analyte, f64)>> {
    match &dose.of {
        DoseOf::Salt { formula } => {
            let mg = dose.amount.to(Unit::Milligram).ok()?;
            let salt = quantity::salt::find(formula)?;
            let brings = salt.brings_mg_per_mg.iter();
            Some(brings.map(|(a, share)| (*a, mg * share)).collect())
        }
        DoseOf::Product { product } => brought_by_product(dose.amount, *product, bench),
    }
}

fn brought_by_product(
    amount: Amount,
    id: crate::ProductId,
    bench: &Bench,
) -> Option<Vec<(Analyte, f64)>> {
    let product = bench.product(id)?;
    let measures = amount.to(product.per).ok()?;
    let brings = product.brings_per_measure();
    Some(
        brings
            .iter()
            .map(|b| (b.analyte, b.mg * measures))
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::act::Into;
    use crate::supply::{Brings, ProductKind, RecipePart};
    use crate::{Product, ProductId, Trial, TrialId};
    use uuid::Uuid;

    const ID: ProductId = ProductId(Uuid::from_u128(7));

    fn product(per: Unit) -> Product {
        Product {
            id: ID,
            name: "mix".into(),
            kind: ProductKind::Stock,
            brings: vec![],
            per,
            recipe: vec![],
            made_up_to_ml: None,
            note: String::new(),
        }
    }

    fn bench(product: Product) -> Bench {
        let mut bench = Bench::new(Trial::new(TrialId(Uuid::nil()), "t", "UTC"));
        bench.products.push(product);
        bench
    }

    fn dose(of: DoseOf, value: f64, unit: Unit) -> Dose {
        Dose {
            of,
            amount: Amount::new(value, unit),
            into: Into::Water,
        }
    }

    fn of(list: &[(Analyte, f64)], a: Analyte) -> f64 {
        list.iter().find(|(x, _)| *x == a).map_or(0.0, |(_, v)| *v)
    }

    #[test]
    fn potassium_nitrate_by_hand() {
        // IUPAC 2021 abridged weights: K 39.098, N 14.007, O 15.999, so KNO3 = 101.102 and
        // NO3 = 62.004; 1200 mg bring 1200 x 62.004 / 101.102 = 735.94 mg NO3 and
        // 1200 x 39.098 / 101.102 = 464.06 mg K.
        let salt = DoseOf::Salt {
            formula: "KNO3".into(),
        };
        let got = nutrients_mg(
            &dose(salt, 1.2, Unit::Gram),
            &bench(product(Unit::Millilitre)),
        );
        assert!(
            (of(&got, Analyte::No3) - 735.94).abs() < 0.02,
            "{got:?} NO3"
        );
        assert!((of(&got, Analyte::K) - 464.06).abs() < 0.02, "{got:?} K");
        assert_eq!(got.len(), 2);
    }

    #[test]
    fn a_stock_solution_by_hand() {
        // 20 g KH2PO4 (IUPAC 2021: 136.084 g/mol; PO4 94.970, K 39.098) made up to 500 mL is 40
        // mg/mL; 5 mL hold 200 mg: 200 x 94.970 / 136.084 = 139.58 mg PO4, 57.46 mg K.
        let mut stock = product(Unit::Millilitre);
        stock.recipe = vec![RecipePart {
            formula: "KH2PO4".into(),
            grams: 20.0,
        }];
        stock.made_up_to_ml = Some(500.0);
        let what = DoseOf::Product { product: ID };
        let got = nutrients_mg(&dose(what, 0.005, Unit::Litre), &bench(stock));
        assert!((of(&got, Analyte::Po4) - 139.58).abs() < 0.02, "{got:?}");
        assert!((of(&got, Analyte::K) - 57.46).abs() < 0.02, "{got:?}");
    }

    #[test]
    fn tablets_count_and_a_misfit_brings_nothing() {
        let mut tablet = product(Unit::Piece);
        tablet.brings = vec![Brings {
            analyte: Analyte::Fe,
            mg: 3.0,
        }];
        let b = bench(tablet);
        let what = DoseOf::Product { product: ID };
        // Two tablets of 3 mg: 6 mg, by arithmetic.
        assert_eq!(
            nutrients_mg(&dose(what.clone(), 2.0, Unit::Piece), &b),
            vec![(Analyte::Fe, 6.0)]
        );
        assert_eq!(nutrients_mg(&dose(what, 2.0, Unit::Gram), &b), vec![]);
    }
}
