// Package building leads members through designs by pressing: /build makes one step by
// step, /work makes the piece of it. Both are work in progress that is kept between
// presses and goes on where it stopped.
//
// What will hurt you: every control carries the turn it was made in, and one of an
// earlier turn changes nothing; forms are kept as they were filled in when they are
// refused. The edits themselves are made in package making.
package building
