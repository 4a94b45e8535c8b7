//! Bradley and Pitzer 1979, J. Physical Chemistry 83:1599-1603: dielectric constant of water, 0 to
//! 350 degC, here at 1 atm. Coefficients as the reference solver carries them; its U8 is printed
//! 4.21642e6 there for the paper's 4.2142e6 (from memory), which is worth 1e-5 of the result.

/// Relative permittivity of water at `celsius` and 1 atm.
#[must_use]
pub fn permittivity(celsius: f64) -> f64 {
    let t = celsius + 273.15;
    let at_1000_bar = 342.79 * (t * (-5.0866e-3 + 9.4690e-7 * t)).exp();
    let c = -2.0525 + 3115.9 / (t - 182.89);
    let b = -8032.5 + 4.2142e6 / t + 2.1417 * t;
    at_1000_bar + c * ((b + 1.013_25) / (b + 1000.0)).ln()
}

#[cfg(test)]
mod tests {
    use super::super::malmberg_maryott_1956 as older;

    #[test]
    fn two_measurements_of_the_dielectric_constant_agree() {
        // 78.38 +- 0.05 at 25 degC (the paper's own figure, from memory); Malmberg and Maryott's
        // equation is lower by 0.1 %.
        assert!((super::permittivity(25.0) - 78.38).abs() < 0.05);
        for celsius in 5..=35 {
            let t = f64::from(celsius);
            let ratio = super::permittivity(t) / older::permittivity(t);
            assert!((1.0..1.002).contains(&ratio), "{celsius}: {ratio}");
        }
    }
}
