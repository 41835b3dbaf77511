// Package tight derives the numbers of the knot book: how much cord a knot
// uses when it is pulled as tight as geometry allows.
//
// # The model
//
// The cord is ideal rope: a tube of diameter 1 that keeps its round section,
// does not stretch, slides without friction and bends for nothing, down to a
// centre line of radius 1/2, where the tube would begin to fold into itself.
// Knots are tied loosely and then shortened until nothing gives: the length is
// the least that contacts, bends, held ends and pitch allow. All lengths are in
// working diameters ([Diameters]); multiply by the cord's own.
//
// The nouns: a rope is the whole that is tightened; its cords are closed, open
// (each end slides on a plane that holds it taut) or chains, which repeat along z
// under a screw whose pitch and twist are set or free; its cores are straight
// round rods, which keep their place or shift sideways as a bundle does. A
// specimen is one rope with the row of the table it fills.
//
// Cords are polylines. Their length plus a stiff spring for every overlap and
// every bend that is too tight is minimised by a quasi-Newton method, the springs
// growing stiffer and the edges shorter by turns. What the springs still give way
// is paid back to first order (force times gap), and the last two edge lengths
// are carried to an edge of zero, the error being as its square. No step moves a
// point by more than a tenth of a diameter and no two strands may come nearer
// than half of touching, so strands cannot pass through each other; the tests
// check knot invariants from the loose start to the tight end.
//
// # What is left out
//
// Friction, which lets a real knot rest anywhere between loose and this tight;
// flattening, which the working diameter stands for; stiffness, which rounds the
// bends; and the twist and lay of the strand. Cores and fillers are straight,
// unless a row states a tension: then they are cords, pulled that many times as
// hard as the working cord, and give way to it. A minimum that is found is a
// local one: several starts are tried where the core may pack in several ways,
// and the shortest kept, but nothing proves that there is none shorter.
//
// # What to trust
//
// Against published ropelengths (Hopf link, trefoil, figure-eight, open overhand)
// and the helix the fine settings are within 0.1 %. The error in a row is that of
// the numbers, not of the model.
//
// The book's rows have these grades ([Grade]), at the pitch that the book takes.
//
// High: single half hitches on a round core; here also helices, and square knots at a
// pitch of 4 and more.
//
// Medium: square and half knots as hands push them up or leave them, where one pitch
// differs from the next maker's: the spiral's twist (24 to 46 degrees for each half
// knot) and pitch depend on how hard the fillers are pulled. Hitches round bundles and
// wraps: a carrier that is a cord gives way and spares up to 0.7 of a diameter; a
// bundle that packs otherwise changes the hitch round six cores by 0.5, and how far
// soft cores fill their voids is reasoned, not derived. Lark's heads: friction can hold
// the fold higher. Several ends in one overhand knot: each arrangement of the ends has
// its own length, up to a tenth longer than the row's. Fillers may lie in a row or one
// behind the other at nearly the same length, so width and depth are those of one case.
//
// Low: the plait, whose tightness hands decide.
//
// What will hurt you: the lengths are the least the geometry allows, and no hand
// ties as tight, so they are where a margin or a maker's own swatch begins.
package tight
