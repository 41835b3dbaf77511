package sheet_test

// tideLine is a whole sheet that uses most of the notation.
const tideLine = `piece Tide Line
cord main 4 mm single-strand, spool 100 m 900 g 24.00
dowel 60 cm x 20 mm birch
margin 8%

panel wave
  mount 12 folded main
  row square
  net square rows 6
  taper square
  bar left to middle
  bar right to middle
  space 3 cm
  sinnet half times 12 on 1-4, 21-24
  gather left to middle
  gather right to middle
  wrap turns 6
  tail 18 cm

panel reed
  gap 4 cm
  mount 4 folded

panel shore
  mount 12 folded

panel point from shore, reed      # joins the ends of finished panels, left to right
  row square on middle 4
  taper square
  tail 20 cm

fringe 22 cm by 2 on left of wave
hanger rise 15 cm
`
