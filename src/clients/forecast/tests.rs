//! What a gridpoint forecast says, held to rows worked out by hand. The forecasts are invented.

use super::{Unreadable, read_gridpoint};
use crate::job::{Moment, WeatherHourRequest};
use crate::quantity::{Percent, Speed, Temperature};
use chrono::FixedOffset;
use serde_json::{Value, json};

fn zone(minutes: i32) -> FixedOffset {
    FixedOffset::east_opt(minutes * 60).expect("an offset")
}

/// Temperature from 06:00 to 09:00 of the next day, humidity from 05:00 to 17:00 of the next day, wind from
/// 07:00 to 13:00 of the next day, all UTC.
fn forecast() -> Value {
    let values = |rows: &[(&str, Option<f64>)]| -> Vec<Value> {
        let row = |(time, value): &(&str, Option<f64>)| json!({"validTime": format!("2026-05-18T{time}"), "value": value});
        rows.iter().map(row).collect()
    };
    json!({"type": "Feature", "properties": {
        "updateTime": "2026-05-18T05:12:00+00:00",
        "temperature": {"uom": "wmoUnit:degC", "values": values(&[
            ("06:00:00+00:00/PT2H", Some(12.2)),
            ("08:00:00+00:00/PT1H", Some(-0.5)),
            ("09:00:00+00:00/P1D", Some(15.0)),
        ])},
        "relativeHumidity": {"uom": "wmoUnit:percent", "values": values(&[
            ("05:00:00+00:00/PT6H", Some(80.0)),
            ("11:00:00+00:00/P1DT6H", Some(55.0)),
        ])},
        "windSpeed": {"uom": "wmoUnit:km_h-1", "values": values(&[("07:00:00+00:00/PT30H", Some(18.0))])},
        "probabilityOfPrecipitation": {"uom": "wmoUnit:percent", "values": values(&[
            ("06:00:00+00:00/PT6H", Some(10.0)),
            ("12:00:00+00:00/PT6H", None),
            ("18:00:00+00:00/PT12H", Some(40.0)),
        ])},
        "weather": {"values": [{"validTime": "2026-05-18T06:00:00+00:00/PT1H", "value": [{"coverage": null}]}]},
    }})
}

fn read(forecast: &Value, minutes: i32) -> Result<Vec<WeatherHourRequest>, Unreadable> {
    read_gridpoint(forecast.to_string().as_bytes(), zone(minutes))
}

fn row(at: &str, air: &str, humidity: f64, rain: Option<f64>) -> WeatherHourRequest {
    WeatherHourRequest {
        at: Moment::parse(at).expect("a moment"),
        air: Temperature::parse(air).expect("a temperature"),
        humidity: Percent::from_percent(humidity),
        wind: Speed::parse("18 km/h").expect("a speed"),
        rain: rain.map(Percent::from_percent),
    }
}

/// By hand: the last of the three begins at 07:00 UTC, which is 02:00 at five hours west; the first one that
/// ends does at 09:00 UTC of the next day, so that its 08:00, our 03:00, is the last hour: 26 hours.
#[test]
fn each_hour_gets_what_is_told_of_it() {
    let rows = read(&forecast(), -300).expect("reads");
    assert_eq!(rows.len(), 26);
    for (place, wanted) in [
        (0, row("2026-05-18T02:00", "12.2 degC", 80.0, Some(10.0))),
        (1, row("2026-05-18T03:00", "-0.5 degC", 80.0, Some(10.0))),
        (2, row("2026-05-18T04:00", "15 degC", 80.0, Some(10.0))),
        (3, row("2026-05-18T05:00", "15 degC", 80.0, Some(10.0))),
        (4, row("2026-05-18T06:00", "15 degC", 55.0, Some(10.0))),
        (5, row("2026-05-18T07:00", "15 degC", 55.0, None)),
        (10, row("2026-05-18T12:00", "15 degC", 55.0, None)),
        (11, row("2026-05-18T13:00", "15 degC", 55.0, Some(40.0))),
        (22, row("2026-05-19T00:00", "15 degC", 55.0, Some(40.0))),
        (23, row("2026-05-19T01:00", "15 degC", 55.0, None)),
        (25, row("2026-05-19T03:00", "15 degC", 55.0, None)),
    ] {
        assert_eq!(rows[place], wanted, "row {place}");
    }
    let hours = rows.windows(2).map(|two| two[1].at.0 - two[0].at.0);
    assert!(hours.into_iter().all(|gap| gap.num_minutes() == 60));
}

/// 07:00 UTC is 12:30 at five and a half hours east: the first full hour there is 13:00, 07:30 UTC.
#[test]
fn hours_are_full_on_the_clock_of_the_site() {
    let rows = read(&forecast(), 330).expect("reads");
    assert_eq!(rows[0].at.to_string(), "2026-05-18T13:00");
    // 08:30 UTC lies in the hour from 08:00.
    assert_eq!(
        rows[1].air.print(),
        row("2026-05-18T14:00", "-0.5 degC", 80.0, None).air.print()
    );
    let utc = read(&forecast(), 0).expect("reads");
    assert_eq!(utc[0].at.to_string(), "2026-05-18T07:00");
}

/// A gap within the first hours is passed over, a later one ends the rows.
#[test]
fn a_gap_is_never_filled() {
    let mut gaps = forecast();
    let air = &mut gaps["properties"]["temperature"]["values"];
    air[1]["value"] = Value::Null;
    air[2]["validTime"] = json!("2026-05-18T09:00:00+00:00/P3D");
    gaps["properties"]["relativeHumidity"]["values"][1]["validTime"] =
        json!("2026-05-18T11:00:00+00:00/P3D");
    gaps["properties"]["windSpeed"]["values"][0]["validTime"] =
        json!("2026-05-18T07:00:00+00:00/P3D");
    // One hour, then the gap at 08:00: too little to be of use.
    let few = read(&gaps, 0).expect_err("one hour").0;
    assert!(few.contains("for 1 hours on end, and 24"), "{few}");
    gaps["properties"]["temperature"]["values"][0]["value"] = Value::Null;
    let rows = read(&gaps, 0).expect("reads");
    assert_eq!(rows[0].at.to_string(), "2026-05-18T09:00");
    // Wind is told up to 07:00 three days later.
    let last = rows.last().map(|row| row.at.to_string());
    assert_eq!(last.as_deref(), Some("2026-05-21T06:00"));
}

#[test]
fn where_two_values_meet_the_later_start_holds() {
    let mut told = forecast();
    let air = &mut told["properties"]["temperature"]["values"];
    air[0]["validTime"] = json!("2026-05-18T06:00:00+00:00/PT12H");
    air.as_array_mut().expect("rows").reverse();
    assert_eq!(
        read(&told, -300).expect("reads"),
        read(&forecast(), -300).expect("reads")
    );
}

/// What is said of the forecast with something else in one place.
fn check_refused(pointer: &str, value: Value, said: &str) {
    let mut bad = forecast();
    *bad.pointer_mut(pointer).expect("a place") = value;
    let told = read(&bad, 0).expect_err("refused").0;
    assert!(told.contains(said), "{pointer}: {told}");
}

#[test]
fn a_unit_or_a_time_that_is_not_read_is_refused() {
    let air = "/properties/temperature";
    let unit = format!("{air}/uom");
    let said = "its temperature comes in a unit that is not read";
    check_refused(&unit, json!("wmoUnit:furlong"), said);
    let said = "its temperature of 2026-05-18T06:00 UTC is 12.2 where -60 degF to 130 degF";
    check_refused(&unit, json!("wmoUnit:percent"), said);
    let time = format!("{air}/values/1/validTime");
    check_refused(
        &time,
        json!("2026-05-18T08:00:00/PT1H"),
        "its temperature has a time",
    );
}

#[test]
fn what_cannot_be_meant_is_refused() {
    let value = |layer: &str| format!("/properties/{layer}/values/0/value");
    check_refused(&value("temperature"), json!(54.5), "UTC is 54.5 where");
    let form = "not the JSON of a gridpoint forecast";
    check_refused(&value("temperature"), json!("12"), form);
    check_refused("/properties", json!(7), form);
    for (layer, number) in [
        ("relativeHumidity", 100.5),
        ("windSpeed", -1.0),
        ("probabilityOfPrecipitation", 101.0),
    ] {
        check_refused(&value(layer), json!(number), &format!("its {layer} of"));
    }
    let nothing = "for 0 hours on end";
    check_refused("/properties/windSpeed/values", json!([]), nothing);
    // 54.4 degC is 129.92 degF, within the bounds; 1e999 is no number that JSON readers hold.
    let mut warm = forecast();
    warm["properties"]["temperature"]["values"][0]["value"] = json!(54.4);
    assert!(read(&warm, 0).is_ok());
    let endless = forecast().to_string().replace("12.2", "1e999");
    assert!(read_gridpoint(endless.as_bytes(), zone(0)).is_err());
    for body in ["", "{", "null", "{\"properties\": {}}", "<html>"] {
        assert!(read_gridpoint(body.as_bytes(), zone(0)).is_err(), "{body}");
    }
}

#[test]
fn a_long_forecast_is_cut_at_31_days() {
    let mut long = forecast();
    for layer in ["temperature", "relativeHumidity", "windSpeed"] {
        long["properties"][layer]["values"][0]["validTime"] =
            json!("2026-05-18T05:00:00+00:00/P366D");
        long["properties"][layer]["values"]
            .as_array_mut()
            .expect("rows")
            .truncate(1);
    }
    assert_eq!(read(&long, 0).expect("reads").len(), 744);
}
