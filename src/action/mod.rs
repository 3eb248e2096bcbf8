//! Hammers computed: bore, strike line, mass, touch. What follows from the readings, no opinion.
