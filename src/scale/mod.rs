//! Strings computed: tension, load, inharmonicity, modes, breaks. What follows from the readings, no opinion.
