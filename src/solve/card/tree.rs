//! At most three yes/no questions.
