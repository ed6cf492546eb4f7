(Pearlkerf, golden, edge setup, file 3-edge-cutter-3.nc)
(cutter 3, end mill 1.000 mm, 30000 rpm, feed 900, plunge 225 mm/min,)
(- 0.500 mm a pass, deepest 3.00 mm below zero)
(X0 at the nut corner of the edge, Y0 on the glue face, Z0 on the)
(- edge)
(zero is set in G54)
(bass edge up and level, nut end at the left, playing face away from)
(- the operator)
(standing on its treble edge the board is packed up 2.50 mm at the)
(- nut end)
(the bridge end is so much wider, unpacked the edge would lean by)
(- 1.59 degrees)
(the places of the first and of the last dot touch off within 0.1 mm)
(- of each other)
(the board stands 44.5 mm tall, hold it against a square fence)
(corners may be rounded by the controller)
(dry run of the edge setup, its pointing run, written with)
(- --pointing, spindle off, 1 stops, 1 min of moves)
(after the dry run, cut the first slot or hole in scrap)
(board, Harbour Lane short trial board)
(machine profile router-dial, blocks and notes in mm)
(before this, 2-face-cutter-1.nc)
(this is the last program of the job)
(Dust harms the lungs, extract it and wear a mask made for it)
(Guards closed, eyes and ears covered, no gloves, a hand on the stop)
(Clamps clear of every move, jog above the highest of them first)
(Spindle stopped and disconnected before cutters are changed by hand)
(Local rules, machine manuals and licensed practice come first)
G21
G17 G90 G94 G54
(setup=edge cutter=3 cuts=side dots 3)
G0 Z8.0
G0 X0.0 Y90.0
(set the spindle to 30000 rpm, hands away, the program starts it)
M0
G21
G17 G90 G94 G54
G0 Z8.0
M3
G4 P3.0
M8
(side dot 3)
G0 X63.375 Y1.506
G0 X64.375 Y2.506
G0 Z0.5
G1 Z0.1 F225.0
G3 X64.625 Y2.256 I0.25 J0.0 F900.0
G3 X64.875 Y2.506 I0.0 J0.25
G3 X64.125 Y2.939 Z0.046 I-0.5 J0.0
G3 X64.125 Y2.073 Z-0.008 I0.25 J-0.433
G3 X64.875 Y2.506 Z-0.063 I0.25 J0.433
G3 X64.125 Y2.939 Z-0.117 I-0.5 J0.0
G3 X64.125 Y2.073 Z-0.171 I0.25 J-0.433
G3 X64.875 Y2.506 Z-0.226 I0.25 J0.433
G3 X64.125 Y2.939 Z-0.28 I-0.5 J0.0
G3 X64.125 Y2.073 Z-0.335 I0.25 J-0.433
G3 X64.875 Y2.506 Z-0.389 I0.25 J0.433
G3 X64.125 Y2.939 Z-0.443 I-0.5 J0.0
G3 X64.125 Y2.073 Z-0.498 I0.25 J-0.433
G3 X64.875 Y2.506 Z-0.552 I0.25 J0.433
G3 X64.125 Y2.939 Z-0.607 I-0.5 J0.0
G3 X64.125 Y2.073 Z-0.661 I0.25 J-0.433
G3 X64.875 Y2.506 Z-0.715 I0.25 J0.433
G3 X64.125 Y2.939 Z-0.77 I-0.5 J0.0
G3 X64.125 Y2.073 Z-0.824 I0.25 J-0.433
G3 X64.875 Y2.506 Z-0.878 I0.25 J0.433
G3 X64.125 Y2.939 Z-0.933 I-0.5 J0.0
G3 X64.125 Y2.073 Z-0.987 I0.25 J-0.433
G3 X64.875 Y2.506 Z-1.042 I0.25 J0.433
G3 X64.125 Y2.939 Z-1.096 I-0.5 J0.0
G3 X64.125 Y2.073 Z-1.15 I0.25 J-0.433
G3 X64.875 Y2.506 Z-1.205 I0.25 J0.433
G3 X64.125 Y2.939 Z-1.259 I-0.5 J0.0
G3 X64.125 Y2.073 Z-1.314 I0.25 J-0.433
G3 X64.875 Y2.506 Z-1.368 I0.25 J0.433
G3 X64.125 Y2.939 Z-1.422 I-0.5 J0.0
G3 X64.125 Y2.073 Z-1.477 I0.25 J-0.433
G3 X64.875 Y2.506 Z-1.531 I0.25 J0.433
G3 X64.125 Y2.939 Z-1.585 I-0.5 J0.0
G3 X64.125 Y2.073 Z-1.64 I0.25 J-0.433
G3 X64.875 Y2.506 Z-1.694 I0.25 J0.433
G3 X64.125 Y2.939 Z-1.749 I-0.5 J0.0
G3 X64.125 Y2.073 Z-1.803 I0.25 J-0.433
G3 X64.875 Y2.506 Z-1.857 I0.25 J0.433
G3 X64.125 Y2.939 Z-1.912 I-0.5 J0.0
G3 X64.125 Y2.073 Z-1.966 I0.25 J-0.433
G3 X64.875 Y2.506 Z-2.021 I0.25 J0.433
G3 X64.125 Y2.939 Z-2.075 I-0.5 J0.0
G3 X64.125 Y2.073 Z-2.129 I0.25 J-0.433
G3 X64.875 Y2.506 Z-2.184 I0.25 J0.433
G3 X64.125 Y2.939 Z-2.238 I-0.5 J0.0
G3 X64.125 Y2.073 Z-2.292 I0.25 J-0.433
G3 X64.875 Y2.506 Z-2.347 I0.25 J0.433
G3 X64.125 Y2.939 Z-2.401 I-0.5 J0.0
G3 X64.125 Y2.073 Z-2.456 I0.25 J-0.433
G3 X64.875 Y2.506 Z-2.51 I0.25 J0.433
G3 X64.125 Y2.939 Z-2.564 I-0.5 J0.0
G3 X64.125 Y2.073 Z-2.619 I0.25 J-0.433
G3 X64.875 Y2.506 Z-2.673 I0.25 J0.433
G3 X64.125 Y2.939 Z-2.728 I-0.5 J0.0
G3 X64.125 Y2.073 Z-2.782 I0.25 J-0.433
G3 X64.875 Y2.506 Z-2.836 I0.25 J0.433
G3 X64.125 Y2.939 Z-2.891 I-0.5 J0.0
G3 X64.125 Y2.073 Z-2.945 I0.25 J-0.433
G3 X64.875 Y2.506 Z-3.0 I0.25 J0.433
G3 X64.125 Y2.939 I-0.5 J0.0
G3 X64.125 Y2.073 I0.25 J-0.433
G3 X64.875 Y2.506 I0.25 J0.433
G3 X64.625 Y2.756 I-0.25 J0.0
G3 X64.375 Y2.506 I0.0 J-0.25
G1 Z0.5 F600.0
G0 Z8.0
M9
M5
M2
