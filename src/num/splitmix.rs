//! SplitMix64: a small published generator of numbers that look random, the same on every machine for the same seed.
//!
//! G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014; the constants are
//! those of S. Vigna's public-domain code. Whole numbers alone: nothing hangs on how a machine rounds.

/// The odd number nearest to 2⁶⁴ over the golden ratio.
const GAMMA: u64 = 0x9e37_79b9_7f4a_7c15;
/// FNV-1a, 64 bits: G. Fowler, L. C. Noll, K.-P. Vo.
const FNV_OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
const FNV_PRIME: u64 = 0x0000_0100_0000_01b3;

/// A generator under way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SplitMix {
    state: u64,
}

impl SplitMix {
    /// Begins with a seed.
    #[must_use]
    pub const fn seeded(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The next 64 bits.
    pub const fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(GAMMA);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number below `count`, each as likely as the others; 0 when there is none below it.
    pub const fn below(&mut self, count: u32) -> u32 {
        // Of 2⁶⁴ numbers at most 2³² − 1 are too many: the odds differ by less than one in 2³².
        (((self.bits() >> 32) * count as u64) >> 32) as u32
    }

    /// A whole number from `least` to `greatest`, both included.
    pub fn between(&mut self, least: i32, greatest: i32) -> i32 {
        let count = i64::from(greatest) - i64::from(least) + 1;
        let count = u32::try_from(count).unwrap_or(0);
        i32::try_from(i64::from(least) + i64::from(self.below(count))).unwrap_or(least)
    }

    /// One of some things; none of nothing.
    pub fn pick<'a, T>(&mut self, things: &'a [T]) -> Option<&'a T> {
        let count = u32::try_from(things.len()).unwrap_or(u32::MAX);
        things.get(self.below(count) as usize)
    }

    /// Puts things into an order of chance (Fisher and Yates, as Durstenfeld does it).
    pub fn shuffle<T>(&mut self, things: &mut [T]) {
        for last in (1..things.len()).rev() {
            let count = u32::try_from(last + 1).unwrap_or(u32::MAX);
            things.swap(last, self.below(count) as usize);
        }
    }
}

/// A seed made of another and of words, such as a name.
#[must_use]
pub fn seed_of(seed: u64, words: &str) -> u64 {
    SplitMix::seeded(seed ^ hash(words)).bits()
}

fn hash(words: &str) -> u64 {
    words.bytes().fold(FNV_OFFSET, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(FNV_PRIME))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seed 1234567, the first five numbers as published with the algorithm on Rosetta Code; seed 0 as in Vigna's code.
    #[test]
    fn the_numbers_are_those_that_were_published() {
        let mut numbers = SplitMix::seeded(1_234_567);
        for expected in [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ] {
            assert_eq!(numbers.bits(), expected);
        }
        let mut numbers = SplitMix::seeded(0);
        assert_eq!(numbers.bits(), 0xe220_a839_7b1d_cdaf);
        assert_eq!(numbers.bits(), 0x6e78_9e6a_a1b9_65f4);
    }

    /// Test values of the FNV authors.
    #[test]
    fn words_are_hashed_as_published() {
        assert_eq!(hash(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(hash("a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(hash("foobar"), 0x8594_4171_f739_67e8);
        assert_ne!(seed_of(1, "Ada"), seed_of(2, "Ada"));
    }

    #[test]
    fn a_range_is_kept_and_all_of_it_comes() {
        let mut numbers = SplitMix::seeded(7);
        let mut seen = [0_u32; 7];
        for _ in 0..7000 {
            seen[usize::try_from(numbers.between(-3, 3) + 3).expect("not negative")] += 1;
        }
        assert!(seen.iter().all(|count| (850..1150).contains(count)), "{seen:?}");
        assert_eq!(numbers.pick::<u8>(&[]), None);
        let mut things: Vec<u32> = (0..20).collect();
        numbers.shuffle(&mut things);
        assert_ne!(things, (0..20).collect::<Vec<_>>());
        things.sort_unstable();
        assert_eq!(things, (0..20).collect::<Vec<_>>());
    }
}
