//! What every partner's setting has to keep to: its name, and an address that can be called.
//!
//! Invariant: what is said of a fault shows no part of the address, which may be a secret. Absent: what
//! one kind of partner asks for beyond that.

use reqwest::Url;

/// Longest name.
const NAME_AT_MOST: usize = 40;

/// Holds a name to what a request and a log can carry.
pub(super) fn check_name(name: &str) -> Result<(), String> {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_".contains(&byte);
    if name.is_empty() || name.len() > NAME_AT_MOST || !name.bytes().all(plain) {
        return Err(format!(
            "a name is 1 to {NAME_AT_MOST} letters, digits, - and _"
        ));
    }
    Ok(())
}

/// Reads an address; `instead` is named where a password stands in it.
pub(super) fn read_address(text: &str, instead: &str) -> Result<Url, String> {
    let address = Url::parse(text).map_err(|_| "the address is none")?;
    if !["http", "https"].contains(&address.scheme()) || address.host_str().is_none() {
        return Err("the address has to begin with https:// or http://".into());
    }
    if !address.username().is_empty() || address.password().is_some() {
        return Err(format!(
            "a name or a password may not stand in the address; name a {instead}"
        ));
    }
    Ok(address)
}
