//! Chance that repeats itself: a small generator, so that a seed tells the whole history.

/// Numbers by xorshift (Marsaglia 2003, 64 bits, shifts 13, 7, 17; from memory).
pub struct Chance(u64);

impl Chance {
    /// The generator of a seed.
    pub fn of(seed: u64) -> Chance {
        // Seeds that stand side by side would begin alike; nought would stand still.
        let mut chance = Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..8 {
            chance.next();
        }
        chance
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// A number from `from` to `to`, both included.
    pub fn within(&mut self, from: i64, to: i64) -> i64 {
        let span = u64::try_from(to - from + 1).unwrap();
        from + i64::try_from(self.next() % span).unwrap()
    }

    /// Whether something happens that happens so many times in a hundred.
    pub fn percent(&mut self, times: i64) -> bool {
        self.within(1, 100) <= times
    }

    /// One of several.
    pub fn one_of<'a, T>(&mut self, of: &'a [T]) -> Option<&'a T> {
        let last = i64::try_from(of.len()).unwrap() - 1;
        (last >= 0).then(|| &of[usize::try_from(self.within(0, last)).unwrap()])
    }
}
