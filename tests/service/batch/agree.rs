//! One job, asked in every way, has one price.

use super::{CSV, LINES, answered, batch, cell, cells};
use crate::launched::Launched;
use serde_json::{Map, Value};

/// Columns that the random jobs fill, and what stands in them; blank as often as not.
const COLUMNS: &[(&str, &[&str])] = &[
    ("rise_in", &["4", "9.5", "14", "21.25", "28", "33", "47"]),
    ("slope", &["7.5 %", "1:12", "1:14", "8 %"]),
    ("runs", &["2", "3"]),
    ("width", &["60 in", "5 ft 6 in", "72 in", "1500 mm"]),
    ("left", &["wall", "formed", "form_on_wall"]),
    ("right", &["wall"]),
    ("foot", &["existing"]),
    ("curb_in", &["0", "6"]),
    ("handrail", &["none", "by_us"]),
    ("thickness_in", &["4", "6"]),
    ("exposure", &["F0", "F3"]),
    ("base_in", &["0", "6"]),
    ("insulation_in", &["2"]),
    ("bar", &["none", "3", "5"]),
    ("spacing_in", &["12", "18"]),
    ("joint", &["tooled"]),
    ("sealer", &["none", "acrylic"]),
    ("walk_ft", &["12"]),
    ("crew", &["2", "4"]),
    ("place", &["barrow", "pump", "bags"]),
    ("start", &["2026-05-04"]),
    ("margin_pct", &["12.5"]),
    ("tax_base", &["price", "none"]),
    ("units", &["metric"]),
];

/// Numbers of a fixed seed (Knuth, MMIX).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % most
    }
}

fn jobs(count: usize) -> Vec<Vec<&'static str>> {
    let mut numbers = Numbers(20_261_125);
    let mut job = || {
        let cells = COLUMNS.iter().enumerate().map(|(place, (_, values))| {
            let filled = place == 0 || numbers.below(4) == 0;
            let value = values[numbers.below(values.len())];
            if filled { value } else { "" }
        });
        cells.collect::<Vec<_>>()
    };
    (0..count).map(|_| job()).collect()
}

fn as_csv(jobs: &[Vec<&str>]) -> String {
    let names: Vec<&str> = COLUMNS.iter().map(|(name, _)| *name).collect();
    let mut text = names.join(",") + "\n";
    for job in jobs {
        text.push_str(&(job.join(",") + "\n"));
    }
    text
}

fn as_keys(job: &[&str]) -> Map<String, Value> {
    let filled = COLUMNS.iter().zip(job).filter(|(_, cell)| !cell.is_empty());
    filled
        .map(|((name, _), cell)| ((*name).to_owned(), Value::from(*cell)))
        .collect()
}

/// The job as a query.
fn as_query(job: &[&str]) -> String {
    let filled = COLUMNS.iter().zip(job).filter(|(_, cell)| !cell.is_empty());
    let pairs = filled.map(|((name, _), cell)| {
        let cell = cell.replace('%', "%25").replace(' ', "%20");
        format!("{name}={cell}")
    });
    pairs.collect::<Vec<_>>().join("&")
}

async fn total_of_cell(service: &Launched, job: &[&str]) -> String {
    let path = format!("/v1/cell/total?errors=inline&{}", as_query(job));
    let answer = service.get(&path).send().await.expect("an answer");
    answer.text().await.expect("text")
}

async fn row(service: &Launched, job: &[&str]) -> Value {
    let path = format!("/v1/row?format=json&figures=total,status&{}", as_query(job));
    let answer = service.get(&path).send().await.expect("an answer");
    answer.json().await.expect("JSON")
}

async fn total_of_single(service: &Launched, job: &Value) -> String {
    let answer = service
        .post("/v1/estimates")
        .json(job)
        .send()
        .await
        .expect("an answer");
    let answer: Value = answer.json().await.expect("JSON");
    let total = &answer["headline"]["price"]["total"];
    total
        .as_str()
        .unwrap_or_else(|| panic!("{answer}"))
        .to_owned()
}

#[actix_web::test]
async fn a_single_job_a_cell_a_row_a_table_and_lines_agree_to_the_cent() {
    let long = std::env::var("TEST_SIZE").is_ok_and(|size| size == "long");
    let jobs = jobs(if long { 1_000 } else { 200 });
    let service = Launched::start().await;
    let table = answered(batch(&service, "?figures=total", CSV).body(as_csv(&jobs))).await;
    let table = cells(&table, b',');
    let lines: String = jobs
        .iter()
        .map(|job| Value::Object(as_keys(job)).to_string() + "\n")
        .collect();
    let lines = answered(batch(&service, "?figures=total", LINES).body(lines)).await;
    let lines: Vec<Value> = lines
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    let mut priced = 0;
    for (index, job) in jobs.iter().enumerate() {
        let in_table = cell(&table, index + 1, "total");
        let in_lines = lines[index]["figures"]["total"]
            .as_str()
            .unwrap_or_default();
        assert_eq!(in_table, in_lines, "{job:?}");
        let in_cell = total_of_cell(&service, job).await;
        if in_table.is_empty() {
            assert!(in_cell.starts_with("#ERR "), "{job:?}: {in_cell}");
            continue;
        }
        priced += 1;
        assert_eq!(in_table, in_cell, "{job:?}");
        let row = row(&service, job).await;
        assert_eq!(row["figures"]["total"], in_table, "{job:?}");
        assert_eq!(
            total_of_single(&service, &row["job"]).await,
            in_table,
            "{job:?}"
        );
    }
    assert!(
        priced > jobs.len() * 3 / 4,
        "{priced} of {} are priced",
        jobs.len()
    );
}
