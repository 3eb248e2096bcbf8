//! What good surveys are read as.

use crate::folder::{here, load, read};

#[test]
fn the_examples_are_read_without_a_fault() {
    for name in ["upright", "grand"] {
        let folder = load(&here("examples").join(name));
        if let Err(faults) = read(&folder) {
            panic!("{name}:\n{}", faults.render(false));
        }
    }
}
