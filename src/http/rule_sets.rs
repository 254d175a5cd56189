//! `GET /v1/rule-sets` and `/v1/rule-sets/{id}`: the rules as data, with their sources.
//!
//! Invariant: told from the sets that judge jobs, local ones among them. Absent: any job.

use super::format::{Format, answer_json, choose_format, vary};
use super::problem::{ApiError, Problem};
use crate::quantity::Verified;
use crate::rules::{Force, RuleSet, RuleSets};
use actix_web::web::{Data, Path, Query};
use actix_web::{HttpRequest, HttpResponse, get};
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

/// How rule sets are wanted.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub(super) struct RuleSetsQuery {
    /// `json`; wins over `Accept`.
    format: Option<String>,
}

/// Every rule set.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct RuleSetsResponse {
    /// In the order in which they were read.
    rule_sets: Vec<RuleSetSummary>,
}

/// One rule set, without its rows.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct RuleSetSummary {
    /// Its name in a job.
    #[schema(examples("ada-2010"))]
    id: String,
    /// Counted up whenever a row changes.
    version: u32,
    /// Short title.
    title: String,
    /// Full title of the document.
    document: String,
    /// Which edition of it.
    edition: String,
    /// Whether its findings count.
    force: Force,
    /// The unit column its lengths are held in.
    unit: String,
    /// The set whose rows it takes over.
    #[serde(skip_serializing_if = "Option::is_none")]
    extends: Option<String>,
    /// How many rows it has.
    rules: usize,
    /// How many of them were not read in the document itself, so that they decide nothing.
    unread: usize,
}

impl RuleSetSummary {
    fn of(set: &RuleSet) -> Self {
        let unread = set
            .rules
            .iter()
            .filter(|rule| rule.row.verified != Verified::Read);
        Self {
            id: set.id.clone(),
            version: set.version,
            title: set.title.clone(),
            document: set.document.clone(),
            edition: set.edition.clone(),
            force: set.force,
            unit: set.unit.clone(),
            extends: set.extends.clone(),
            rules: set.rules.len(),
            unread: unread.count(),
        }
    }
}

/// List the rule sets
///
/// Every rule set that a job may name under `site.rule_sets`, those of the office among them; the word
/// `all` there names every one that counts.
#[utoipa::path(
    tag = "ramps",
    operation_id = "list_rule_sets",
    params(RuleSetsQuery),
    responses(
        (status = 200, description = "Every rule set.", body = RuleSetsResponse),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/rule-sets")]
pub(super) async fn get_rule_sets(
    request: HttpRequest,
    query: Query<RuleSetsQuery>,
    sets: Data<RuleSets>,
) -> Result<HttpResponse, ApiError> {
    choose_format(query.format.as_deref(), request.headers(), &[Format::Json])?;
    let rule_sets = sets.all().iter().map(RuleSetSummary::of).collect();
    Ok(vary(answer_json(&RuleSetsResponse { rule_sets })?))
}

/// Show a rule set
///
/// Every row with its section, its number, its sense and how far it was verified. A set that extends
/// another holds the rows it takes over too, each under its own id.
#[utoipa::path(
    tag = "ramps",
    operation_id = "read_rule_set",
    params(RuleSetsQuery, ("id" = String, Path, description = "Its name in a job.", example = "ada-2010")),
    responses(
        (status = 200, description = "The rule set with its rows.", body = RuleSet),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such rule set.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/rule-sets/{id}")]
pub(super) async fn get_rule_set(
    request: HttpRequest,
    (id, query): (Path<String>, Query<RuleSetsQuery>),
    sets: Data<RuleSets>,
) -> Result<HttpResponse, ApiError> {
    choose_format(query.format.as_deref(), request.headers(), &[Format::Json])?;
    let Some(set) = sets.get(&id) else {
        let known: Vec<&str> = sets.all().iter().map(|set| set.id.as_str()).collect();
        let known = known.join(", ");
        return Err(ApiError::NotFound(format!(
            "There is no such rule set; known are {known}."
        )));
    };
    Ok(vary(answer_json(set)?))
}
