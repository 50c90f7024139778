//! Work with the widest vectors of the processor.

/// Work that gains from wide vectors.
pub(crate) trait Wide {
    /// What comes of it.
    type Outcome;
    /// Does the work. It and all that it calls in its loops must be `#[inline(always)]`, or nothing is gained.
    fn run(self) -> Self::Outcome;
}

/// Does work with the widest vectors that the processor has. The bits are the same with any: a sum and a product are never
/// joined.
pub(crate) fn widest<T: Wide>(work: T) -> T::Outcome {
    pulp::Arch::new().dispatch(Widest(work))
}

struct Widest<T>(T);

impl<T: Wide> pulp::NullaryFnOnce for Widest<T> {
    type Output = T::Outcome;

    #[inline(always)]
    fn call(self) -> T::Outcome {
        self.0.run()
    }
}
