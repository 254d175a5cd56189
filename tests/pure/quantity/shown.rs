//! Every quantity of an answer: its unit in each system, and its places.

use crossfall::quantity::shown::{
    D, FC, Ft2GalM2L, Ft2M2, FtM, GalL, H, InMm, LbFt3KgM3, LbKg, MphKmh, Pct, PsiMpa, Shown,
    SlopePct, SlopePoints, TonT, Yd3M3,
};
use crossfall::quantity::{
    Area, Coverage, Density, Length, Mass, Percent, Quantity, Slope, Span, Speed, Stress, System,
    Temperature, Volume,
};

/// Something over a quarter of a million, with more digits than any place shows.
const ODD: f64 = 271_828.182_845_9;

/// The decimals a value was rounded to: the fewest that still tell it.
fn places(shown: Shown) -> usize {
    shown
        .value
        .to_string()
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len())
}

#[test]
fn every_answer_has_the_unit_and_the_places_of_the_wire() {
    macro_rules! check {
        ($($shown:ident($quantity:ident): $us:literal $us_places:literal,
            $metric:literal $metric_places:literal;)*) => { $(
            let odd = $quantity::from_si(ODD);
            for (system, unit, wanted) in
                [(System::Us, $us, $us_places), (System::Metric, $metric, $metric_places)]
            {
                let shown = $shown::of(odd, system).shown();
                assert_eq!(shown.unit, unit, stringify!($shown));
                assert!(places(shown) <= wanted, "{} {shown}", stringify!($shown));
                let row = $quantity::DIMENSION.row(unit).expect("shown units are rows");
                let off = (row.scale.from_si(ODD) - shown.value).abs();
                assert!(off <= 0.5 * 10_f64.powi(-(wanted as i32)) + 1e-9, "{} {shown}", stringify!($shown));
            }
        )* };
    }
    check! {
        InMm(Length): "in" 2, "mm" 1;
        FtM(Length): "ft" 2, "m" 2;
        Ft2M2(Area): "ft2" 2, "m2" 2;
        Yd3M3(Volume): "yd3" 3, "m3" 3;
        GalL(Volume): "gal" 3, "L" 3;
        LbKg(Mass): "lb" 1, "kg" 1;
        TonT(Mass): "ton" 3, "t" 3;
        H(Span): "h" 2, "h" 2;
        D(Span): "d" 1, "d" 1;
        FC(Temperature): "degF" 1, "degC" 1;
        Pct(Percent): "%" 2, "%" 2;
        SlopePoints(Slope): "%" 3, "%" 3;
        SlopePct(Slope): "%" 3, "%" 3;
        LbFt3KgM3(Density): "lb/ft3" 1, "kg/m3" 1;
        MphKmh(Speed): "mph" 1, "km/h" 1;
    }
    let strength = |stress, system| PsiMpa::of(stress, system).shown().to_string();
    assert_eq!(strength(Stress::from_psi(4_500.2), System::Us), "4500 psi");
    assert_eq!(
        strength(Stress::from_megapascals(32.04), System::Metric),
        "32 MPa"
    );
    assert_eq!(
        strength(Stress::from_megapascals(32.06), System::Metric),
        "32.1 MPa"
    );
    let coverage = |system| Ft2GalM2L::of(Coverage::from_ft2_per_gal(125.04), system).to_string();
    assert_eq!(
        (coverage(System::Us), coverage(System::Metric)),
        ("125 ft2/gal".into(), "3.07 m2/L".into())
    );
}
