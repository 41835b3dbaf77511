package store

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Keys that are one byte too short for any record, and keys of the shortest record.
func TestKeysOfRecordsAreToldFromOthers(t *testing.T) {
	member := "M" + strings.Repeat("o", tokenSize)
	note := "E" + strings.Repeat("\x00", 8)
	for _, row := range []struct {
		key  string
		kind Kind // empty for no record
	}{
		{"", ""}, {"A", KindHeader}, {"AA", ""},
		{"S", ""}, {"S1", KindShare}, {"L", ""}, {"Lsweep", KindLease},
		{note, ""}, {note + "S", KindExpiry}, {note[:8], ""},
		{member, ""}, {member + "p", KindProject}, {member + "p1", KindProject}, {member + "?", ""},
		{"C" + member[1:] + "k1", KindKnot}, {"X" + member[1:] + "k1", ""}, {"!", ""},
	} {
		kind, owner, known := typeOf([]byte(row.key))
		require.Equal(t, row.kind != "", known, "%q", row.key)
		if known {
			require.Equal(t, row.kind, kind.kind, "%q", row.key)
		}
		if row.kind == KindProject || row.kind == KindKnot {
			require.Equal(t, member[1:], string(owner[:]))
		}
	}
	for key, record := range map[string]string{note + "S1": "S1", note + "S": "S", note: "", note[:8]: "", "M" + note[1:] + "S1": ""} {
		_, got, ok := splitExpiryKey([]byte(key))
		require.Equal(t, record, string(got), "%q", key)
		require.Equal(t, record != "", ok, "%q", key)
	}
	at, _, _ := splitExpiryKey(expiryKey(time.Unix(1_772_366_400, 5), []byte("S1")))
	require.EqualValues(t, 1_772_366_400, at)
}

// What an operator reads of a key: ids as they are, hashes as hexadecimal numbers.
func TestKeysInWords(t *testing.T) {
	const id = "0123456789abc" // as long as every id
	owner := strings.Repeat("\xee", tokenSize)
	of := " of member " + strings.Repeat("ee", tokenSize)
	for key, want := range map[string]string{
		"A":                                       "store header",
		"M" + owner + "f":                         "preferences" + of,
		"M" + owner + "p" + id:                    "project " + id + of,
		"M" + owner + "h" + id + "\x00\x01":       "revision " + id + "/0001" + of,
		"M" + owner + "h" + id[1:] + "\x00\x01":   "revision 313233343536373839616263" + "0001" + of, // too short for an id
		"M" + owner + "n\xffab":                   "project name ff6162" + of,
		"M" + owner + "nab\xff":                   "project name 6162ff" + of,
		"M" + owner + "pzZ":                       "project 7a5a" + of,
		"M" + owner + "p09az":                     "project 09az" + of,
		"M" + owner + "p09az/":                    "project 3039617a2f" + of,
		"M" + owner + "p09az:":                    "project 3039617a3a" + of,
		"M" + owner + "p09az`":                    "project 3039617a60" + of,
		"M" + owner + "p09az{":                    "project 3039617a7b" + of,
		"C" + owner + "k\x01":                     "knot 01 of community " + strings.Repeat("ee", tokenSize),
		"S" + id:                                  "share " + id,
		"Lsweep":                                  "lease sweep",
		"E\x00\x00\x00\x00\x00\x00\x00\x01S" + id: "expiry of the share " + id,
		"M" + owner + "?":                         "with the unknown key 4d" + strings.Repeat("ee", tokenSize) + "3f",
	} {
		require.Equal(t, want, DescribeKey([]byte(key)))
	}
}

// A member and a community have at most 200 bytes of id, a name 80 characters.
func TestTheLongestIDsAndNames(t *testing.T) {
	for n, fits := range map[int]bool{1: true, 200: true, 201: false} {
		err := checkMember(strings.Repeat("1", n))
		require.Equal(t, fits, err == nil, n)
		if !fits {
			require.ErrorContains(t, err, "it has 201 bytes and an id has at most 200")
		}
	}
	for n, fits := range map[int]bool{1: true, 80: true, 81: false} {
		_, err := cleanName(strings.Repeat("ö", n))
		require.Equal(t, fits, err == nil, n)
		if !fits {
			require.ErrorContains(t, err, "it has 81 characters and a name has at most 80")
		}
	}
}
