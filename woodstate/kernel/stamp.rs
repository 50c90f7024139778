//! Names that nobody else has, and the time of a message.

use std::collections::hash_map::RandomState;
use std::hash::{BuildHasher, Hasher};
use std::time::{SystemTime, UNIX_EPOCH};

use crate::day;

/// A name that nobody else has: 128 bits from the keys that the system gives to hash maps and from a count in them.
pub fn identifier() -> String {
    let bits = || RandomState::new().build_hasher().finish();
    format!("{:016x}{:016x}", bits(), bits())
}

/// Now, as the messaging specification writes it.
pub fn now() -> String {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    let seconds = i64::try_from(since.as_secs()).unwrap_or(0);
    let day = day::of_seconds(seconds).unwrap_or_else(|| "1970-01-01".to_owned());
    let of_day = seconds % 86_400;
    let (hours, minutes) = (of_day / 3600, of_day % 3600 / 60);
    format!("{day}T{hours:02}:{minutes:02}:{:02}.{:06}Z", of_day % 60, since.subsec_micros())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_names_are_alike() {
        let mut names: Vec<String> = (0..1000).map(|_| identifier()).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!((names.len(), names[0].len()), (1000, 32));
        assert!(now().len() == 27 && now().ends_with('Z'));
    }
}
