(Pearlkerf, golden, face setup, file 1-face-cutter-3.nc)
(cutter 3, end mill 3.000 mm, 19000 rpm, feed 2280, plunge 467)
(- mm/min, 3.000 mm a pass, deepest 1.60 mm below zero)
(X0 at the nut end of the finished board, Y0 on its centre line, Z0)
(- on top of the wood at the centre line)
(zero is set in G54)
(playing face up, nut end at the left, bass edge toward the operator)
(the glue face lies flat on the bed, clamped so that it cannot move)
(the board is cut to its outline)
(the top of the blank is flat within 0.1 mm, touch it off at five)
(- places)
(slots run out over both long edges, clamps stay away from there)
(tape under all of the glue face can hold it without clamps)
(face dots may lie up to 0.10 mm below the raw face, which is right)
(radiusing brings the face down to them)
(cuts run out up to 24.5 mm past the bass edge, to Y -46.6, and up to)
(- 24.5 mm past the treble edge, to Y 46.6, as deep as Z -2.28, at X)
(- 26.7 to 76.7)
(corners may be rounded by the controller)
(dry run of the face setup, its pointing run, written with)
(- --pointing, spindle off, 9 stops, 1 min of moves)
(after the dry run, cut the first slot or hole in scrap)
(board, Harbour Lane short trial board)
(machine profile workshop-saw, blocks and notes in mm)
(this is the first program of the job)
(after this, 2-face-cutter-1.nc)
(Dust harms the lungs, extract it and wear a mask made for it)
(Guards closed, eyes and ears covered, no gloves, a hand on the stop)
(Clamps clear of every move, jog above the highest of them first)
(Spindle stopped and disconnected before cutters are changed by hand)
(Local rules, machine manuals and licensed practice come first)
G21
G17 G90 G94 G54
(setup=face cutter=3 cuts=face dots 1 3)
G0 Z10.0
S19000 M3
G4 P5.0
(face dot 1)
G0 X12.47 Y-1.0
G0 X13.47 Y0.0
G0 Z0.5
G1 Z0.1 F467.3
G3 X14.22 Y-0.75 I0.75 J0.0 F2280.0
G3 X14.97 Y0.0 I0.0 J0.75
G3 X12.72 Y1.299 Z-0.033 I-1.5 J0.0
G3 X12.72 Y-1.299 Z-0.166 I0.75 J-1.299
G3 X14.97 Y0.0 Z-0.3 I0.75 J1.299
G3 X12.72 Y1.299 Z-0.433 I-1.5 J0.0
G3 X12.72 Y-1.299 Z-0.566 I0.75 J-1.299
G3 X14.97 Y0.0 Z-0.7 I0.75 J1.299
G3 X12.72 Y1.299 Z-0.833 I-1.5 J0.0
G3 X12.72 Y-1.299 Z-0.966 I0.75 J-1.299
G3 X14.97 Y0.0 Z-1.1 I0.75 J1.299
G3 X12.72 Y1.299 Z-1.233 I-1.5 J0.0
G3 X12.72 Y-1.299 Z-1.366 I0.75 J-1.299
G3 X14.97 Y0.0 Z-1.5 I0.75 J1.299
G3 X12.72 Y1.299 I-1.5 J0.0
G3 X12.72 Y-1.299 I0.75 J-1.299
G3 X14.97 Y0.0 I0.75 J1.299
G3 X14.22 Y0.75 I-0.75 J0.0
G3 X13.47 Y0.0 I0.0 J-0.75
G1 Z0.5 F800.0
G0 Z10.0
(face dot 3, bass side)
G0 X63.369 Y-11.947
G0 X64.369 Y-10.947
G0 Z0.5
G1 Z0.1 F467.3
G3 X65.119 Y-11.697 I0.75 J0.0 F2280.0
G3 X65.869 Y-10.947 I0.0 J0.75
G3 X63.619 Y-9.648 Z-0.041 I-1.5 J0.0
G3 X63.619 Y-12.246 Z-0.183 I0.75 J-1.299
G3 X65.869 Y-10.947 Z-0.325 I0.75 J1.299
G3 X63.619 Y-9.648 Z-0.467 I-1.5 J0.0
G3 X63.619 Y-12.246 Z-0.609 I0.75 J-1.299
G3 X65.869 Y-10.947 Z-0.751 I0.75 J1.299
G3 X63.619 Y-9.648 Z-0.893 I-1.5 J0.0
G3 X63.619 Y-12.246 Z-1.035 I0.75 J-1.299
G3 X65.869 Y-10.947 Z-1.177 I0.75 J1.299
G3 X63.619 Y-9.648 Z-1.319 I-1.5 J0.0
G3 X63.619 Y-12.246 Z-1.461 I0.75 J-1.299
G3 X65.869 Y-10.947 Z-1.603 I0.75 J1.299
G3 X63.619 Y-9.648 I-1.5 J0.0
G3 X63.619 Y-12.246 I0.75 J-1.299
G3 X65.869 Y-10.947 I0.75 J1.299
G3 X65.119 Y-10.197 I-0.75 J0.0
G3 X64.369 Y-10.947 I0.0 J-0.75
G1 Z0.5 F800.0
G0 Z10.0
(face dot 3, treble side)
G0 X63.369 Y9.947
G0 X64.369 Y10.947
G0 Z0.5
G1 Z0.1 F467.3
G3 X65.119 Y10.197 I0.75 J0.0 F2280.0
G3 X65.869 Y10.947 I0.0 J0.75
G3 X63.619 Y12.246 Z-0.041 I-1.5 J0.0
G3 X63.619 Y9.648 Z-0.183 I0.75 J-1.299
G3 X65.869 Y10.947 Z-0.325 I0.75 J1.299
G3 X63.619 Y12.246 Z-0.467 I-1.5 J0.0
G3 X63.619 Y9.648 Z-0.609 I0.75 J-1.299
G3 X65.869 Y10.947 Z-0.751 I0.75 J1.299
G3 X63.619 Y12.246 Z-0.893 I-1.5 J0.0
G3 X63.619 Y9.648 Z-1.035 I0.75 J-1.299
G3 X65.869 Y10.947 Z-1.177 I0.75 J1.299
G3 X63.619 Y12.246 Z-1.319 I-1.5 J0.0
G3 X63.619 Y9.648 Z-1.461 I0.75 J-1.299
G3 X65.869 Y10.947 Z-1.603 I0.75 J1.299
G3 X63.619 Y12.246 I-1.5 J0.0
G3 X63.619 Y9.648 I0.75 J-1.299
G3 X65.869 Y10.947 I0.75 J1.299
G3 X65.119 Y11.697 I-0.75 J0.0
G3 X64.369 Y10.947 I0.0 J-0.75
G1 Z0.5 F800.0
G0 Z10.0
M5
M2
