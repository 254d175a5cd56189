//! Settings as texts: what each may be, and what is said where it is not.

use chrono::FixedOffset;
use ipnet::IpNet;
use std::{net::IpAddr, time::Duration};
use tracing_subscriber::EnvFilter;

pub(super) fn parse_log(text: &str) -> Result<String, String> {
    const LEVELS: [&str; 6] = ["error", "warn", "info", "debug", "trace", "off"];
    let is_level = |word: &str| LEVELS.iter().any(|level| word.eq_ignore_ascii_case(level));
    // A word that is no level would be taken for the name of a part, and silence all others.
    let misspelled = text
        .split(',')
        .find(|part| !part.contains('=') && !is_level(part.trim()));
    if let Some(word) = misspelled {
        return Err(format!(
            "\"{word}\" is no level: write error, warn, info, debug or trace, and of one part crossfall=debug"
        ));
    }
    EnvFilter::builder()
        .parse(text)
        .map(|_| text.to_owned())
        .map_err(|error| error.to_string())
}

pub(super) fn parse_time_zone(text: &str) -> Result<FixedOffset, String> {
    let refused = || "write UTC, or a fixed offset such as -05:00".to_owned();
    if text.eq_ignore_ascii_case("utc") {
        return FixedOffset::east_opt(0).ok_or_else(refused);
    }
    let digits = |part: &str| {
        if part.len() == 2 {
            part.parse::<i32>().ok()
        } else {
            None
        }
    };
    let seconds = || {
        let (hours, minutes) = text.get(1..)?.split_once(':')?;
        let (hours, minutes) = (digits(hours)?, digits(minutes)?);
        let sign = match text.as_bytes().first()? {
            b'+' => 1,
            b'-' => -1,
            _ => return None,
        };
        // No place on earth is further from UTC than 14 hours.
        (hours <= 14 && minutes < 60).then_some(sign * (hours * 3600 + minutes * 60))
    };
    seconds()
        .and_then(FixedOffset::east_opt)
        .ok_or_else(refused)
}

pub(super) fn parse_span(text: &str) -> Result<Duration, String> {
    let refused = || "write a whole number and its unit: 24h, 90m or 30s".to_owned();
    let (number, unit) = text
        .trim()
        .split_at_checked(text.trim().len().saturating_sub(1))
        .ok_or_else(refused)?;
    let seconds: u64 = match unit {
        "h" => 3_600,
        "m" => 60,
        "s" => 1,
        _ => return Err(refused()),
    };
    let digits = number.bytes().all(|byte| byte.is_ascii_digit());
    let number: u64 = number.parse().map_err(|_| refused())?;
    let span = number.checked_mul(seconds).filter(|span| *span > 0);
    span.filter(|_| digits)
        .map(Duration::from_secs)
        .ok_or_else(refused)
}

pub(super) fn parse_host(text: &str) -> Result<String, String> {
    let name = text.trim();
    let fits = |byte: u8| byte.is_ascii_alphanumeric() || b".-_[]:".contains(&byte);
    if name.is_empty() || !name.bytes().all(fits) || (name.contains(':') && !name.ends_with(']')) {
        return Err(
            "write names alone, without scheme, port or path, separated by commas".to_owned(),
        );
    }
    Ok(name.to_owned())
}

/// Whole parts of a path, as `/ramps`, or nothing.
pub(super) fn parse_base_path(text: &str) -> Result<String, String> {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~".contains(&byte);
    let is_part = |part: &str| !["", ".", ".."].contains(&part) && part.bytes().all(plain);
    let parts = text.strip_prefix('/');
    let whole = parts.is_some_and(|parts| parts.split('/').all(is_part));
    if text.is_empty() || whole {
        return Ok(text.to_owned());
    }
    Err("write a path such as /ramps: a slash, then letters, digits, - . _ or ~, and no slash at the end".to_owned())
}

/// A block of addresses, or one address.
pub(super) fn parse_block(text: &str) -> Result<IpNet, String> {
    let text = text.trim();
    let one = || text.parse::<IpAddr>().map(IpNet::from).ok();
    let block: Option<IpNet> = text.parse().ok().or_else(one);
    block.ok_or_else(|| {
        "write addresses or blocks of them, as 10.0.0.0/8 or ::1, separated by commas".to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_zone_is_utc_or_a_fixed_offset() {
        let seconds = |text: &str| parse_time_zone(text).map(|zone| zone.local_minus_utc());
        assert_eq!(seconds("UTC"), Ok(0));
        assert_eq!(seconds("-05:00"), Ok(-18_000));
        assert_eq!(seconds("+05:45"), Ok(20_700));
        for bad in [
            "",
            "-5:00",
            "05:00",
            "-05",
            "-15:00",
            "-05:60",
            "-0a:00",
            "America/Chicago",
            "−05:00",
        ] {
            assert!(seconds(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn an_offline_limit_is_a_number_with_its_unit() {
        let seconds = |text: &str| parse_span(text).map(|span| span.as_secs());
        assert_eq!(seconds("24h"), Ok(86_400));
        assert_eq!(seconds("90m"), Ok(5_400));
        assert_eq!(seconds("30s"), Ok(30));
        for bad in [
            "",
            "h",
            "24",
            "0s",
            "-1h",
            "+1h",
            "1.5h",
            "24 h",
            "1d",
            "ä",
            "99999999999999999999h",
            "9999999999999999999h",
        ] {
            assert!(seconds(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_log_is_levels_and_parts_with_theirs() {
        for good in [
            "info",
            "WARN",
            "info,crossfall=debug",
            "off",
            "crossfall[request]=info",
        ] {
            assert!(parse_log(good).is_ok(), "{good}");
        }
        for bad in ["", "inof", "info,crossfall", "info,crossfall=loud"] {
            assert!(parse_log(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_base_path_is_whole_parts_and_plain() {
        for good in ["", "/ramps", "/a/b-c/d.e_f~g"] {
            assert!(parse_base_path(good).is_ok(), "{good}");
        }
        for bad in [
            "/", "ramps", "/ramps/", "//ramps", "/a//b", "/a b", "/a?b", "/ä", "/..", "/a/.",
            "/%61", "/{a}",
        ] {
            assert!(parse_base_path(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_block_is_an_address_or_a_prefix() {
        for good in ["10.0.0.0/8", " 192.0.2.1 ", "::1", "2001:db8::/32"] {
            assert!(parse_block(good).is_ok(), "{good}");
        }
        for bad in ["", "10.0.0.0/33", "proxy.example", "10.0.0", "::/129"] {
            assert!(parse_block(bad).is_err(), "{bad}");
        }
    }
}
