import fc from 'fast-check';

// Property tests use the same random numbers in every run, so that a failure comes from the change
// under test; a test with its own seed keeps that seed.
fc.configureGlobal({ seed: 20261125 });
