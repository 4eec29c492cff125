//! Moist air, the standard atmosphere, power factors, compressor and cooler, against
//! standards and general libraries.

use crate::support::{near, near_share};
use pullmark::air::charge::{self, Arrangement, effectiveness_of};
use pullmark::air::{Air, density, power, standard, vapour};

/// IAPWS R7-97 (IF97), region 4, eq. 30: the steam tables' own saturation line, in Pa.
fn steam_table_pa(k: f64) -> f64 {
    const N: [f64; 10] = [
        0.116_705_214_527_67e4,
        -0.724_213_167_032_06e6,
        -0.170_738_469_400_92e2,
        0.120_208_247_024_70e5,
        -0.323_255_503_223_33e7,
        0.149_151_086_135_30e2,
        -0.482_326_573_615_91e4,
        0.405_113_405_420_57e6,
        -0.238_555_575_678_49,
        0.650_175_348_447_98e3,
    ];
    let theta = k + N[8] / (k - N[9]);
    let a = theta * theta + N[0] * theta + N[1];
    let b = N[2] * theta * theta + N[3] * theta + N[4];
    let c = N[5] * theta * theta + N[6] * theta + N[7];
    let root = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    root.powi(4) * 1e6
}

/// Source: the release's own check values (300, 500, 600 K) and iapws 1.5.5. This
/// proves the oracle, which the next test uses.
#[test]
fn the_steam_table_line_is_the_released_one() {
    for (k, published) in
        [(300.0, 0.003_536_589_41e6), (500.0, 2.638_897_76e6), (600.0, 12.344_314_6e6)]
    {
        near_share("IF97", steam_table_pa(k), published, 1e-8);
    }
    for (k, published) in
        [(273.15, 611.2127), (293.15, 2339.2148), (298.15, 3169.7469), (313.15, 7384.4275)]
    {
        near_share("IF97", steam_table_pa(k), published, 1e-7);
    }
}

/// Source: coefficients of Buck 1996, Buck 1981 (e_w1), WMO-No. 8 Annex 4.B and CIPM,
/// recomputed with numpy 2.4.6; four decimals printed.
#[test]
fn saturation_pressures_are_each_forms_own() {
    type Row = (&'static str, fn(f64) -> f64, &'static [(f64, f64)]);
    let rows: [Row; 4] = [
        (
            "Buck 1996",
            vapour::saturation_pa,
            &[(0.0, 611.21), (20.0, 2338.34), (25.0, 3168.5314), (40.0, 7382.3596)],
        ),
        (
            "Buck 1981",
            vapour::saturation_buck_1981_pa,
            &[(0.0, 611.21), (20.0, 2337.2825), (25.0, 3167.0345), (40.0, 7384.1753)],
        ),
        (
            "WMO",
            vapour::saturation_wmo_pa,
            &[(0.0, 611.2), (20.0, 2332.596), (25.0, 3160.0569), (40.0, 7367.4581)],
        ),
        ("CIPM", vapour::saturation_cipm_pa, &[(20.0, 2339.1632)]),
    ];
    for (name, form, table) in rows {
        for &(c, published) in table {
            near_share(name, form(c), published, 1e-6);
        }
    }
}

/// Source: IF97 above, and ASHRAE (Hyland & Wexler) by PsychroLib 2.5.0 at 20 and
/// 40 °C. The forms are known to agree within 0.31 % from 0 to 50 °C.
#[test]
fn saturation_pressures_agree_with_the_steam_tables() {
    for c in 0..=50 {
        let (c, table) = (f64::from(c), steam_table_pa(f64::from(c) + 273.15));
        near_share("Buck 1996", vapour::saturation_pa(c), table, 0.0031);
        near_share("Buck 1981", vapour::saturation_buck_1981_pa(c), table, 0.0031);
        near_share("WMO", vapour::saturation_wmo_pa(c), table, 0.0031);
    }
    for (c, ashrae) in [(20.0, 2338.8037), (40.0, 7383.46)] {
        near_share("ASHRAE", vapour::saturation_pa(c), ashrae, 0.0031);
        near_share("ASHRAE by IF97", steam_table_pa(c + 273.15), ashrae, 2e-4);
    }
}

/// Source: WMO-No. 8, eq. 4.B; and the algebraic inverse of the WMO form.
#[test]
fn enhancement_and_dew_point_are_the_weather_services() {
    near("f(p)", vapour::enhancement_wmo(101_325.0), 1.004_718_7, 1e-7);
    near("dew point", vapour::dew_point_c(25.0, 0.6).expect("moist"), 16.6931, 1e-4);
}

/// Source: Picard et al. 2008, recomputed; CoolProp 8.0.0 `HAPropsSI` beside it.
#[test]
fn density_agrees_with_cipm_2007_and_coolprop() {
    let rows = [
        (20.0, 101_325.0, 0.5, 1.19931, 1.19936),
        (20.0, 101_325.0, 0.0, 1.20456, 1.20460),
        (25.0, 100_000.0, 0.6, 1.16043, 1.16047),
        (35.0, 95_000.0, 0.4, 1.06463, 1.06467),
        (5.0, 102_000.0, 0.8, 1.27489, 1.27494),
    ];
    for (c, pa, humidity, cipm, coolprop) in rows {
        near_share("CIPM", density::cipm_2007(c, pa, humidity), cipm, 2e-5);
        near_share("CoolProp", density::cipm_2007(c, pa, humidity), coolprop, 6e-5);
        near_share("two gases", density::two_gas(c, pa, humidity), cipm, 7e-4);
    }
    let parts = density::cipm_parts(20.0, 101_325.0, 0.5);
    near("enhancement", parts.enhancement, 1.004_025_6, 1e-7);
    // Half a unit in the last printed place.
    near("vapour share", parts.vapour_share, 0.011_589_3, 5e-8);
    near("compressibility", parts.compressibility, 0.999_614_8, 1e-7);
}

/// Source: ideal mixture with R 287.05287 and 461.523 and Buck 1996, recomputed; the
/// OIML R 111 short formula of mass metrology as an independent one.
#[test]
fn two_gas_density_and_dry_pressure_are_as_tabulated() {
    let rows = [
        (20.0, 101_325.0, 0.5, 1.19885),
        (25.0, 100_000.0, 0.6, 1.16003),
        (35.0, 95_000.0, 0.4, 1.06437),
        (5.0, 102_000.0, 0.8, 1.27419),
    ];
    for (c, pa, humidity, published) in rows {
        near_share("two gases", density::two_gas(c, pa, humidity), published, 1e-5);
    }
    for (c, pa, humidity, oiml) in [(20.0, 101_325.0, 0.5, 1.19929), (35.0, 95_000.0, 0.4, 1.06445)]
    {
        near_share("OIML R 111", density::cipm_2007(c, pa, humidity), oiml, 2e-4);
    }
    for (c, percent, pa, published) in
        [(30.0, 50.0, 100_000.0, 97_877.44), (35.0, 40.0, 95_000.0, 92_749.30)]
    {
        let air = Air {
            ambient_c: Some(c),
            relative_humidity_percent: Some(percent),
            pressure_pa: Some(pa),
        };
        near("dry pressure", air.dry_pressure_pa().expect("known"), published, 0.05);
    }
}

/// Source: ISO 2533 closed form, equal to ambiance 1.3.1; geometric heights computed
/// with ambiance 1.3.1.
#[test]
fn the_standard_atmosphere_is_that_of_iso_2533() {
    let geopotential = [
        (0.0, 288.150, 101_325.00, 1.225_000),
        (500.0, 284.900, 95_460.84, 1.167_269),
        (1000.0, 281.650, 89_874.56, 1.111_643),
        (2000.0, 275.150, 79_495.20, 1.006_490),
        (5000.0, 255.650, 54_019.89, 0.736_116),
    ];
    let geometric = [
        (500.0, 284.900, 95_461.29, 1.167_273),
        (1000.0, 281.651, 89_876.28, 1.111_660),
        (2000.0, 275.154, 79_501.41, 1.006_554),
        (5000.0, 255.676, 54_048.26, 0.736_429),
    ];
    let geometric = geometric.map(|(h, t, p, rho)| (standard::geopotential_m(h), t, p, rho));
    for (height_m, k, pa, kgpm3) in geopotential.into_iter().chain(geometric) {
        let state = standard::at_m(height_m);
        near("temperature", state.temperature_k, k, 1e-3);
        near("pressure", state.pressure_pa, pa, 0.01);
        near("density", state.density_kgpm3, kgpm3, 1e-6);
    }
}

/// Source: inverse of the ISO 2533 density law over the two-gas density, recomputed.
#[test]
fn density_altitude_is_the_height_of_equal_density() {
    let rows = [
        (15.0, 101_325.0, 0.0, 0.0),
        (30.0, 100_000.0, 50.0, 743.3),
        (35.0, 95_000.0, 40.0, 1440.2),
        (5.0, 102_000.0, 80.0, -412.0),
    ];
    for (c, pa, percent, published) in rows {
        let air = Air {
            ambient_c: Some(c),
            relative_humidity_percent: Some(percent),
            pressure_pa: Some(pa),
        };
        near("density altitude", air.density_altitude_m().expect("known"), published, 0.5);
    }
    let there = standard::at_m(1234.0).density_kgpm3;
    near("round trip", standard::altitude_of_density_m(there), 1234.0, 0.01);
}

/// Source: SAE J1349 JUN90 as quoted, ISO 1585, SAE J607, DIN 70020; recomputed.
/// Pressures are those of dry air, but for DIN's.
#[test]
fn power_factors_are_the_standards() {
    type Row = (&'static str, fn(f64, f64) -> f64, f64, &'static [(f64, f64, f64)]);
    let rows: [Row; 5] = [
        (
            "J1349",
            power::sae_j1349,
            1e-6,
            &[
                (25.0, 99e3, 1.0),
                (35.0, 97.5e3, 1.038_091),
                (10.0, 101e3, 0.947_148),
                (30.0, 95e3, 1.059_957),
                (25.0, 84e3, 1.210_714),
            ],
        ),
        (
            "J1349 exact",
            power::sae_j1349_exact,
            1e-6,
            &[(35.0, 97.5e3, 1.037_977), (30.0, 95e3, 1.059_778)],
        ),
        (
            "ISO 1585",
            power::iso_1585,
            1e-6,
            &[
                (25.0, 99e3, 1.0),
                (35.0, 97.5e3, 1.038_861),
                (10.0, 101e3, 0.946_496),
                (30.0, 95e3, 1.061_279),
            ],
        ),
        ("J607", power::sae_j607, 1e-5, &[(35.0, 97.5e3, 1.073_657), (10.0, 101e3, 0.993_518)]),
        (
            "DIN 70020",
            power::din_70020,
            1e-5,
            &[(35.0, 97.5e3, 1.065_237), (10.0, 101e3, 0.985_706)],
        ),
    ];
    for (name, form, within, table) in rows {
        for &(c, pa, published) in table {
            near(name, form(c, pa), published, within);
        }
    }
}

/// Source: SAE J1349: only from 0.93 to 1.07; ISO 1585 adds 15 to 35 °C, 80 to 110 kPa.
#[test]
fn a_factor_outside_its_limits_says_so() {
    let within = |c: f64, dry_pa: f64, standard: &str| {
        let all = power::factors(c, dry_pa + 1000.0, dry_pa);
        all.iter().find(|factor| factor.standard == standard).expect("listed").within_limits
    };
    assert!(within(25.0, 99e3, "SAE J1349") && within(25.0, 99e3, "ISO 1585"));
    assert!(!within(25.0, 84e3, "SAE J1349"));
    assert!(within(10.0, 99e3, "SAE J1349") && !within(10.0, 99e3, "ISO 1585"));
}

/// Source: UN R85, Annex 5, 5.4.2.2: 0.036 q − 1.14 from 40 to 65, 0.3 and 1.2 outside;
/// the exponents 0.7 and 1.5 of its turbocharged form.
#[test]
fn compression_ignition_factors_are_those_of_r85() {
    for (fuel, published) in [(30.0, 0.3), (40.0, 0.3), (50.0, 0.66), (65.0, 1.2), (80.0, 1.2)] {
        near("f_m", power::engine_factor(fuel), published, 1e-9);
    }
    for (c, dry_pa, air, whole) in
        [(35.0, 97.5e3, 1.062_045, 1.040_530), (10.0, 101e3, 0.912_588, 0.941_416)]
    {
        let ours = power::r85_turbo_diesel(c, dry_pa, 50.0);
        near("f_a", ours.0, air, 1e-6);
        near("alpha_d", ours.1, whole, 1e-6);
    }
}

/// Source: fluids 1.3.1 `isentropic_T_rise_compression` and its documented example.
#[test]
fn compressor_outlets_agree_with_fluids() {
    near("ideal", charge::outlet_k(286.8, 432.4 / 54.05, 1.0), 519.5231, 1e-3);
    let rows = [
        (298.15, 2.0, 1.0, 363.449),
        (298.15, 2.0, 0.7, 391.434),
        (298.15, 1.8, 0.65, 382.029),
        (303.15, 2.5, 0.75, 424.112),
        (293.15, 1.5, 0.6, 353.160),
    ];
    for (k, ratio, efficiency, published) in rows {
        near("outlet", charge::outlet_k(k, ratio, efficiency), published, 0.005);
    }
    near("efficiency", charge::efficiency(298.15, 2.0, 391.404).expect("warmer"), 0.70023, 1e-5);
    assert_eq!(charge::efficiency(298.15, 2.0, 298.15), None);
}

/// Source: ideal gas, recomputed with numpy 2.4.6.
#[test]
fn charge_densities_are_the_ideal_gas() {
    for (ratio, k, published) in
        [(2.0, 391.404, 1.52349), (2.0, 323.15, 1.84527), (1.8, 318.15, 1.68685)]
    {
        near("ratio", charge::density_ratio(ratio, k, 298.15), published, 1e-5);
    }
    for (from, to, percent) in [(40.0, 50.0, -3.0945), (30.0, 60.0, -9.0050), (50.0, 51.0, -0.3085)]
    {
        let ours = charge::density_change(from + 273.15, to + 273.15) * 100.0;
        near("per cent", ours, percent, 1e-4);
    }
}

/// Source: ht 1.2.0 `effectiveness_from_NTU`; Holman, Heat Transfer, example 10-9.
#[test]
fn exchanger_effectiveness_agrees_with_ht() {
    use Arrangement::*;
    let rows = [
        (Counterflow, 5.0, 0.7, 0.920_670),
        (Counterflow, 1.0, 0.25, 0.598_286),
        (Counterflow, 2.0, 1.0, 0.666_667),
        (OneSideConstant, 2.0, 0.0, 0.864_665),
        (CrossflowSmallerMixed, 2.0, 0.25, 0.792_760),
        (CrossflowLargerMixed, 2.160_072_595, 0.142_421_422_7, 0.831_218),
        (CrossflowBothUnmixed, 1.0, 0.25, 0.587_202),
        (CrossflowBothUnmixed, 2.0, 0.25, 0.803_301),
        (CrossflowBothUnmixed, 2.0, 0.5, 0.738_758),
    ];
    for (arrangement, units, ratio, published) in rows {
        near("effectiveness", effectiveness_of(arrangement, units, ratio), published, 1e-6);
    }
}

/// Source: Holman, example 10-9, as worked in the ht 1.2.0 documentation: oil at 15 °C
/// heated by steam at 130 °C.
#[test]
fn holmans_oil_heater_comes_out_as_printed() {
    let (oil, steam) = (0.725 * 1900.0, 5.2 * 1860.0);
    let units = 275.0 * 10.82 / oil;
    near("transfer units", units, 2.160_073, 1e-3);
    let share = effectiveness_of(Arrangement::CrossflowLargerMixed, units, oil / steam);
    near("effectiveness", share, 0.831_218, 1e-3);
    near("oil out", 15.0 + share * 115.0, 110.590, 1e-3);
    near("steam out", 130.0 - share * 115.0 * oil / steam, 116.386, 1e-3);
}

/// Source: definition, recomputed. The last one is above 1: a soaked core or a wrong
/// sensor, and no cooler.
#[test]
fn cooler_effectiveness_is_the_drop_over_the_largest_possible() {
    let rows = [
        (130.0, 50.0, 25.0, 0.76190),
        (118.25, 45.0, 25.0, 0.78552),
        (95.0, 60.0, 35.0, 0.58333),
        (70.0, 28.0, 30.0, 1.05),
    ];
    for (into, out, coolant, published) in rows {
        near(
            "effectiveness",
            charge::effectiveness(into, out, coolant).expect("warmer"),
            published,
            1e-5,
        );
    }
    assert_eq!(charge::effectiveness(25.0, 25.0, 25.0), None);
}
