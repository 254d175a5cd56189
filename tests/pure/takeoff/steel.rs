//! Laps, cover, welded wire: tables by name, both sides of each limit.

use super::close;
use super::jobs::{straight, taken};
use crossfall::catalog::Catalog;
use crossfall::job::{Day, JobRequest, expand};
use crossfall::quantity::{Length, Mass, Stress};
use crossfall::takeoff::{BarWay, measure_class_b};
use serde_json::{Value, json};

fn lap(inches: f64, psi: f64) -> f64 {
    let row = &Catalog::built_in().steel.lap;
    measure_class_b(Length::from_inches(inches), Stress::from_psi(psi), row).inches()
}

/// W27 and its neighbours. ACI 318-19 25.4.2.3 and 25.5.2.1, simplified, from memory; grade 60, up to the
/// inch, at 3,000, 4,000, 4,500 and 5,000 psi. Computed from the remembered formula, not a published table.
#[test]
fn w27_class_b_laps_are_those_of_the_formula() {
    let table = [
        (0.375, [22.0, 19.0, 18.0, 17.0]),
        (0.5, [29.0, 25.0, 24.0, 23.0]),
        (0.625, [36.0, 31.0, 30.0, 28.0]),
        (0.75, [43.0, 37.0, 35.0, 34.0]),
    ];
    for (diameter, laps) in table {
        for (psi, wanted) in [3000.0, 4000.0, 4500.0, 5000.0].into_iter().zip(laps) {
            close(lap(diameter, psi), wanted, 9);
        }
    }
    // Never under 12 in, and no stronger than 10,000 psi.
    close(lap(0.25, 10_000.0), 12.0, 9);
    close(lap(0.75, 10_000.0), lap(0.75, 14_000.0), 9);
}

/// The field rule of 40 diameters (common practice, no source): 15, 20 and 25 in.
#[test]
fn a_job_laps_by_the_rule_that_it_names() {
    let lapped = |steel: Value| {
        let taken = taken(&straight(|job| {
            job["reinforcement"] = steel;
            job["ramp"]["path"][1] = json!({"kind": "run", "rise": "20 in", "length": "20 ft"});
            job["slab"] = json!({"concrete": {"strength": "4000 psi"}});
        }));
        let along = taken.takeoff.bar_marks.iter();
        let mut along = along.filter(|mark| mark.way == BarWay::Along);
        let mark = along.next().expect("bars along").clone();
        assert_eq!(mark.laps, 1);
        // The ramp's length less two covers of 2 in.
        mark.length.inches() - (taken.geometry.surface_length().inches() - 4.0)
    };
    for (bar, field, class_b) in [
        ("no. 3", 15.0, 19.0),
        ("no. 4", 20.0, 25.0),
        ("no. 5", 25.0, 31.0),
    ] {
        close(lapped(json!({"bar": bar})), field, 6);
        close(
            lapped(json!({"bar": bar, "lap_rule": "class_b"})),
            class_b,
            6,
        );
    }
}

/// ASTM A615 / A615M as tabled (second hand), no. 7 and no. 8; d2 / 162 for bars in millimetres.
#[test]
fn large_bars_and_metric_bars_weigh_what_their_tables_say() {
    let row = |bar: &str| {
        let rows = Catalog::built_in().steel.bar.iter();
        rows.clone()
            .find(|row| row.bar == bar)
            .expect("a row")
            .clone()
    };
    for (bar, inches, pounds, kilograms) in
        [("no. 7", 0.875, 2.044, 3.042), ("no. 8", 1.0, 2.670, 3.973)]
    {
        let row = row(bar);
        close(row.diameter.inches(), inches, 9);
        assert_eq!((row.lb_per_ft, row.kg_per_m), (pounds, kilograms));
    }
    for millimetres in [10.0_f64, 12.0, 16.0] {
        let row = row(&format!("{millimetres} mm"));
        close(row.diameter.millimetres(), millimetres, 9);
        close(row.kg_per_m, millimetres * millimetres / 162.0, 3);
        let pounds = Mass::from_pounds(row.lb_per_ft * Length::from_metres(1.0).feet());
        close(pounds.kilograms(), row.kg_per_m, 3);
    }
}

fn steel(value: Value) -> super::jobs::Taken {
    taken(&straight(|job| job["reinforcement"] = value))
}

/// ACI 318-19 Table 20.5.1.3.1, from memory: 1 1/2 in for no. 5 and smaller, 2 in for larger bars.
#[test]
fn cover_under_the_table_is_told_of() {
    let told = |bar: &str, cover: &str, edge: &str| {
        steel(json!({"bar": bar, "cover": cover, "edge_cover": edge})).advises("bar_cover")
    };
    assert!(!told("no. 5", "1 1/2 in", "1 1/2 in"));
    assert!(told("no. 5", "1 3/8 in", "2 in") && told("no. 5", "2 in", "1 3/8 in"));
    assert!(!told("no. 6", "2 in", "2 in") && told("no. 6", "1 7/8 in", "2 in"));
    assert!(!taken(&straight(|_| {})).advises("bar_cover"));
}

/// Half of the slab is the most; a bar deeper than that is not in its upper half.
#[test]
fn cover_over_half_the_slab_is_a_fault_with_its_place() {
    let faults = |cover: &str| {
        let job = straight(|job| job["reinforcement"] = json!({"cover": cover}));
        let sent: JobRequest = serde_json::from_value(job).expect("readable");
        let today: Day = serde_json::from_value(json!("2026-05-04")).expect("a date");
        let faults = expand(sent, today).err().unwrap_or_default().0;
        faults
            .into_iter()
            .map(|fault| (fault.pointer, fault.example))
            .collect::<Vec<_>>()
    };
    assert!(faults("2 1/2 in").is_empty());
    let found = faults("2 5/8 in");
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].0, "/reinforcement/cover");
    assert!(found[0].1.is_some());
}

/// Worked: 5 in of slab, 2 in of cover, two layers of 1/2 in stand 2 in high; wire 3 in.
#[test]
fn supports_are_as_high_as_the_steel_lies() {
    let bars = taken(&straight(|_| {}));
    assert_eq!(bars.line("bar-chair").description, "Bar support, 2 in high");
    let wire = steel(json!({"wire": "W2.9"}));
    assert_eq!(wire.line("bar-chair").description, "Bar support, 3 in high");
}

/// Worked: inside 2 in of cover and beyond the first lap of 8 in a strip 20 ft x 8 ft 8 in (8 in + two sheets
/// of 4 ft 4 in, less the first lap) takes two strips; each sheet adds 9 ft 4 in: 2 x 19 ft / 9.333 ft.
#[test]
fn wire_lies_in_flat_slabs_and_bars_stay_where_they_stand() {
    let job = |wire: bool| {
        straight(|job| {
            job["ramp"]["width"] = json!("9 ft 8 in");
            job["ramp"]["path"] = json!([
                {"kind": "landing", "length": "20 ft"},
                {"kind": "run", "rise": "1 in", "length": "1 ft", "by": "others"},
                {"kind": "landing", "length": "9 ft 8 in", "by": "others"}
            ]);
            job["elements"] = json!([{"kind": "frost_wall", "legs": ["9 ft"], "height": "3 ft", "thickness": "8 in"}]);
            if wire {
                job["reinforcement"] = json!({"wire": "W2.1"});
            }
        })
    };
    let wired = taken(&job(true));
    let ours = wired
        .takeoff
        .lines
        .iter()
        .find(|line| line.code == "wire-6x6-w2-1-5x10")
        .expect("wire");
    let strips = 2.0 * (20.0 - 1.0) / (10.0 - 8.0 / 12.0);
    assert_eq!(ours.order.number(), f64::ceil(strips));
    let marks = &wired.takeoff.bar_marks;
    assert!(
        !marks.is_empty() && marks.iter().all(|mark| mark.of == "/elements/0"),
        "{marks:?}"
    );
    assert!(
        taken(&job(false))
            .takeoff
            .lines
            .iter()
            .all(|line| !line.code.starts_with("wire-"))
    );
    let all_wire = steel(json!({"wire": "W1.4"}));
    assert!(
        all_wire.takeoff.bar_marks.is_empty()
            && all_wire
                .takeoff
                .cut_lists
                .iter()
                .all(|list| list.of != "/reinforcement")
    );
    assert!(!all_wire.has("bar-no4-20ft"));
}
