//! Which addresses a destination may have, seen where it is really connected to.
//!
//! Invariants: a name is resolved once for each connection, and the connection is made to what was looked
//! at, so that a name which changes its mind between looking and connecting gains nothing; an IPv4 address
//! inside of an IPv6 one is judged as itself; plain HTTP goes to private addresses only. Absent: names of
//! hosts, which say nothing.

use reqwest::dns::{Addrs, Name, Resolve, Resolving};
use serde::Deserialize;
use std::future::Future;
use std::io;
use std::net::{IpAddr, Ipv6Addr, SocketAddr};
use std::pin::Pin;
use std::sync::{Arc, LazyLock};

/// How far a destination may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reach {
    /// On the public network alone.
    Public,
    /// Anywhere, as the operator allows.
    Anywhere,
    /// On a private network alone, since it hears plain HTTP.
    Private,
}

impl Reach {
    /// Whether a destination of this reach may have this address.
    pub(super) fn allows(self, address: IpAddr) -> bool {
        match self {
            Self::Anywhere => true,
            Self::Public => is_public(address),
            Self::Private => !is_public(address),
        }
    }
}

/// Whether an address is one of the public network.
pub fn is_public(address: IpAddr) -> bool {
    static BLOCKS: LazyLock<Vec<Block>> = LazyLock::new(read_blocks);
    let address = match address {
        IpAddr::V6(six) => within(six).unwrap_or(address),
        IpAddr::V4(_) => address,
    };
    !BLOCKS.iter().any(|block| block.holds(address))
}

/// The IPv4 address that stands in an IPv6 one: mapped (RFC 4291, 2.5.5.2) or translated (RFC 6052, 2.1).
fn within(address: Ipv6Addr) -> Option<IpAddr> {
    let translated = || {
        let octets = address.octets();
        let known = octets.starts_with(&[0, 0x64, 0xff, 0x9b, 0, 0, 0, 0, 0, 0, 0, 0]);
        known.then(|| IpAddr::from([octets[12], octets[13], octets[14], octets[15]]))
    };
    address
        .to_ipv4_mapped()
        .map(IpAddr::from)
        .or_else(translated)
}

/// Addresses that begin alike.
struct Block {
    first: IpAddr,
    bits: u32,
}

impl Block {
    fn read(text: &str) -> Option<Self> {
        let (first, bits) = text.split_once('/')?;
        let (first, bits): (IpAddr, u32) = (first.parse().ok()?, bits.parse().ok()?);
        let all = if first.is_ipv4() { 32 } else { 128 };
        (bits <= all).then_some(Self { first, bits })
    }

    fn holds(&self, address: IpAddr) -> bool {
        let apart = match (self.first, address) {
            (IpAddr::V4(a), IpAddr::V4(b)) => (a.to_bits() ^ b.to_bits()).leading_zeros(),
            (IpAddr::V6(a), IpAddr::V6(b)) => (a.to_bits() ^ b.to_bits()).leading_zeros(),
            _ => return false,
        };
        apart >= self.bits
    }
}

#[derive(Deserialize)]
struct File {
    block: Vec<BlockRow>,
}

#[derive(Deserialize)]
struct BlockRow {
    of: String,
}

fn read_blocks() -> Vec<Block> {
    let file: File = toml::from_str(include_str!("addresses.toml")).expect("the file has its form");
    let blocks = file.block.iter().map(|row| Block::read(&row.of));
    blocks
        .collect::<Option<_>>()
        .expect("each row names a block")
}

/// A name had no address that may be called.
#[derive(Debug, thiserror::Error)]
#[error("no address of it may be called")]
pub(super) struct Refused;

type Looking = Pin<Box<dyn Future<Output = io::Result<Vec<SocketAddr>>> + Send>>;

/// Looks names up, and gives those addresses alone that may be called.
pub(super) struct Guard {
    reach: Reach,
    look_up: Arc<dyn Fn(String) -> Looking + Send + Sync>,
}

impl Guard {
    /// By the system's way of looking up names.
    pub(super) fn of(reach: Reach) -> Self {
        Self::with(reach, |host| {
            Box::pin(async move {
                let found = tokio::net::lookup_host((host, 0)).await?;
                Ok(found.collect())
            })
        })
    }

    fn with(reach: Reach, look_up: impl Fn(String) -> Looking + Send + Sync + 'static) -> Self {
        let look_up = Arc::new(look_up);
        Self { reach, look_up }
    }
}

impl Resolve for Guard {
    fn resolve(&self, name: Name) -> Resolving {
        let (looking, reach) = ((self.look_up)(name.as_str().to_owned()), self.reach);
        Box::pin(async move {
            let found = looking.await?;
            let allowed: Vec<SocketAddr> = found
                .into_iter()
                .filter(|address| reach.allows(address.ip()))
                .collect();
            match allowed.is_empty() {
                true => Err(Refused.into()),
                false => Ok(Box::new(allowed.into_iter()) as Addrs),
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};

    /// Both sides of the ends of blocks, from the registries named in the rows.
    const PUBLIC: &[&str] = &[
        "1.0.0.0",
        "9.255.255.255",
        "11.0.0.0",
        "100.63.255.255",
        "100.128.0.0",
        "126.255.255.255",
        "128.0.0.0",
        "169.253.255.255",
        "169.255.0.0",
        "172.15.255.255",
        "172.32.0.0",
        "192.0.1.0",
        "192.167.255.255",
        "192.169.0.0",
        "198.17.255.255",
        "198.20.0.0",
        "223.255.255.255",
        "2000::",
        "2001:200::",
        "2003::",
        "3ffe:ffff::",
        "3fff:1000::",
        "::ffff:1.0.0.0",
        "64:ff9b::100:0",
    ];
    const PRIVATE: &[&str] = &[
        "0.0.0.0",
        "10.0.0.0",
        "10.255.255.255",
        "100.64.0.0",
        "100.127.255.255",
        "127.0.0.1",
        "127.255.255.255",
        "169.254.0.0",
        "169.254.169.254",
        "172.16.0.0",
        "172.31.255.255",
        "192.0.0.1",
        "192.168.0.0",
        "192.168.255.255",
        "198.18.0.0",
        "224.0.0.1",
        "239.255.255.255",
        "240.0.0.0",
        "255.255.255.255",
        "::",
        "::1",
        "::ffff:127.0.0.1",
        "::ffff:10.1.2.3",
        "64:ff9b::a00:1",
        "64:ff9b:1::1",
        "::7f00:1",
        "fc00::",
        "fd12::1",
        "fe80::1",
        "febf::1",
        "fec0::1",
        "ff02::1",
        "2001:db8::1",
        "2002:a00:1::",
        "2001::1",
        "100::1",
    ];

    #[test]
    fn private_addresses_are_told_from_public_ones() {
        for (all, public) in [(PUBLIC, true), (PRIVATE, false)] {
            for text in all {
                let address = text.parse().expect("an address");
                assert_eq!(is_public(address), public, "{text}");
            }
        }
    }

    #[test]
    fn each_reach_has_its_addresses() {
        let of = |reach: Reach| {
            ["9.9.0.1", "10.0.0.1"].map(|text| reach.allows(text.parse().expect("an address")))
        };
        assert_eq!(of(Reach::Public), [true, false]);
        assert_eq!(of(Reach::Private), [false, true]);
        assert_eq!(of(Reach::Anywhere), [true, true]);
    }

    fn found(text: &str) -> io::Result<Vec<SocketAddr>> {
        let addresses = text
            .split(' ')
            .map(|one| SocketAddr::new(one.parse().expect("one"), 0));
        Ok(addresses.collect())
    }

    /// A name that is public when it is first looked up, and then this machine: each connection looks, and
    /// goes nowhere but to what it saw.
    #[tokio::test]
    async fn a_name_that_changes_its_mind_is_refused_when_it_does() {
        let asked = AtomicUsize::new(0);
        let guard = Guard::with(Reach::Public, move |_| {
            let told = match asked.fetch_add(1, Ordering::Relaxed) {
                0 => found("9.9.0.1"),
                1 => found("127.0.0.1 9.9.0.2 ::1"),
                _ => found("127.0.0.1"),
            };
            Box::pin(async { told })
        });
        let resolve = || guard.resolve("rebound.example".parse().expect("a name"));
        let texts = |addresses: Addrs| {
            addresses
                .map(|one| one.ip().to_string())
                .collect::<Vec<_>>()
        };
        assert_eq!(texts(resolve().await.expect("public")), ["9.9.0.1"]);
        assert_eq!(texts(resolve().await.expect("one is")), ["9.9.0.2"]);
        let refused = resolve().await.err().expect("this machine");
        assert!(refused.downcast_ref::<Refused>().is_some());
    }
}
