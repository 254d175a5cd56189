//! What an attacker sends: over the wire, in paths, in words, from a page of another origin, with another's key.
//!
//! Invariant: each test stands in the threats of DEVELOPERS.md. Absent: what a resource refuses of its own.

mod callers;
mod folder;
mod logs;
mod page;
mod paths;
mod wire;
mod words;
