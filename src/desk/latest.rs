//! What was found last, kept for as long as what it was found for stays the same.

/// The last answer, and the question to it.
pub struct Latest<Q, A>(Option<(Q, A)>);

impl<Q, A> Default for Latest<Q, A> {
    fn default() -> Self {
        Self(None)
    }
}

impl<Q: PartialEq, A> Latest<Q, A> {
    /// The answer to a question, found only where another was asked last.
    pub fn to(&mut self, question: Q, find: impl FnOnce() -> A) -> &A {
        if self.0.as_ref().is_some_and(|(answered, _)| *answered != question) {
            self.0 = None;
        }
        &self.0.get_or_insert_with(|| (question, find())).1
    }
}

#[cfg(test)]
mod tests {
    use super::Latest;

    #[test]
    fn an_answer_is_found_once_for_each_question() {
        let mut latest = Latest::default();
        let mut found = 0;
        let mut ask = |question: u64| {
            *latest.to(question, || {
                found += 1;
                found
            })
        };
        assert_eq!([ask(1), ask(1), ask(2), ask(1)], [1, 1, 2, 3]);
    }
}
