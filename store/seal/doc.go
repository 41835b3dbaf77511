// Package seal turns records into the values that a store holds, and back: JSON,
// packed where that makes it shorter, with a checksum or sealed with a key.
//
// Its nouns: a [Key] is what a key file holds; a [Codec] writes and reads values with
// the keys that it knows. What a record is, and under which key of the engine it
// stands, it does not ask: a value is bound to that key, and is [Damage] under another.
//
// What will hurt you:
//   - One key may seal [Limit] values. What will be sealed is noted in the store before,
//     see [Codec.Reserve], and counts as sealed after a crash.
//   - A codec that knows a key need not seal with it: see [Codec.Rekeyed].
//   - The first byte of a value and the layout behind it are on people's disks. They
//     may be added to, never changed.
package seal
