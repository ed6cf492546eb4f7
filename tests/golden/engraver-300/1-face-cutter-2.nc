(Pearlkerf, golden, face setup, file 1-face-cutter-2.nc)
(cutter 2, end mill 2.000 mm, 10000 rpm, feed 600, plunge 180 mm/min,)
(- 1.000 mm a pass, deepest 1.60 mm below zero)
(only a part of the job, frets, face dots)
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
(cuts run out up to 1.1 mm past the bass edge, to Y -23.1, and up to)
(- 1.1 mm past the treble edge, to Y 23.1, as deep as Z -2.20, at X)
(- 26.7 to 76.7)
(clamps up to 4.0 mm above the wood, over an edge by 10 mm at most,)
(- may stand at X up to 9.4 mm, 29.6 to 49.7 mm, from 79.0 mm on)
(corners may be rounded by the controller)
(dry run of the face setup, its pointing run, written with)
(- --pointing, spindle off, 9 stops, 1 min of moves)
(after the dry run, cut the first slot or hole in scrap)
(board, Harbour Lane short trial board)
(machine profile engraver-300, blocks and notes in mm)
(this is the first program of the job)
(after this, 2-face-cutter-1.nc)
(Dust harms the lungs, extract it and wear a mask made for it)
(Guards closed, eyes and ears covered, no gloves, a hand on the stop)
(Clamps clear of every move, jog above the highest of them first)
(Spindle stopped and disconnected before cutters are changed by hand)
(Local rules, machine manuals and licensed practice come first)
G21
G17 G90 G94 G54
(setup=face cutter=2 cuts=face dots 1 3)
G0 Z5.0
S10000 M3
G4 P3.0
(face dot 1)
G0 X12.47 Y-1.0
G0 X13.47 Y0.0
G0 Z0.5
G1 Z0.1 F180.0
G3 X13.87 Y-0.4 I0.4 J0.0 F600.0
G3 X14.27 Y0.0 I0.0 J0.4
G3 X13.07 Y0.693 Z0.024 I-0.8 J0.0
G3 X13.07 Y-0.693 Z-0.052 I0.4 J-0.693
G3 X14.27 Y0.0 Z-0.128 I0.4 J0.693
G3 X13.07 Y0.693 Z-0.204 I-0.8 J0.0
G3 X13.07 Y-0.693 Z-0.28 I0.4 J-0.693
G3 X14.27 Y0.0 Z-0.357 I0.4 J0.693
G3 X13.07 Y0.693 Z-0.433 I-0.8 J0.0
G3 X13.07 Y-0.693 Z-0.509 I0.4 J-0.693
G3 X14.27 Y0.0 Z-0.585 I0.4 J0.693
G3 X13.07 Y0.693 Z-0.661 I-0.8 J0.0
G3 X13.07 Y-0.693 Z-0.738 I0.4 J-0.693
G3 X14.27 Y0.0 Z-0.814 I0.4 J0.693
G3 X13.07 Y0.693 Z-0.89 I-0.8 J0.0
G3 X13.07 Y-0.693 Z-0.966 I0.4 J-0.693
G3 X14.27 Y0.0 Z-1.042 I0.4 J0.693
G3 X13.07 Y0.693 Z-1.119 I-0.8 J0.0
G3 X13.07 Y-0.693 Z-1.195 I0.4 J-0.693
G3 X14.27 Y0.0 Z-1.271 I0.4 J0.693
G3 X13.07 Y0.693 Z-1.347 I-0.8 J0.0
G3 X13.07 Y-0.693 Z-1.423 I0.4 J-0.693
G3 X14.27 Y0.0 Z-1.5 I0.4 J0.693
G3 X13.07 Y0.693 I-0.8 J0.0
G3 X13.07 Y-0.693 I0.4 J-0.693
G3 X14.27 Y0.0 I0.4 J0.693
G3 X13.87 Y0.4 I-0.4 J0.0
G3 X13.47 Y0.0 I0.0 J-0.4
G1 Z0.5 F400.0
G1 Z0.1 F180.0
G3 X14.47 Y-1.0 I1.0 J0.0 F600.0
G3 X15.47 Y0.0 I0.0 J1.0
G3 X12.47 Y1.732 Z-0.077 I-2.0 J0.0
G3 X12.47 Y-1.732 Z-0.255 I1.0 J-1.732
G3 X15.47 Y0.0 Z-0.433 I1.0 J1.732
G3 X12.47 Y1.732 Z-0.611 I-2.0 J0.0
G3 X12.47 Y-1.732 Z-0.788 I1.0 J-1.732
G3 X15.47 Y0.0 Z-0.966 I1.0 J1.732
G3 X12.47 Y1.732 Z-1.144 I-2.0 J0.0
G3 X12.47 Y-1.732 Z-1.322 I1.0 J-1.732
G3 X15.47 Y0.0 Z-1.5 I1.0 J1.732
G3 X12.47 Y1.732 I-2.0 J0.0
G3 X12.47 Y-1.732 I1.0 J-1.732
G3 X15.47 Y0.0 I1.0 J1.732
G3 X14.47 Y1.0 I-1.0 J0.0
G3 X13.47 Y0.0 I0.0 J-1.0
G1 Z0.5 F400.0
G0 Z5.0
(face dot 3, bass side)
G0 X63.369 Y-11.947
G0 X64.369 Y-10.947
G0 Z0.5
G1 Z0.1 F180.0
G3 X64.769 Y-11.347 I0.4 J0.0 F600.0
G3 X65.169 Y-10.947 I0.0 J0.4
G3 X63.969 Y-10.254 Z0.019 I-0.8 J0.0
G3 X63.969 Y-11.64 Z-0.062 I0.4 J-0.693
G3 X65.169 Y-10.947 Z-0.143 I0.4 J0.693
G3 X63.969 Y-10.254 Z-0.224 I-0.8 J0.0
G3 X63.969 Y-11.64 Z-0.305 I0.4 J-0.693
G3 X65.169 Y-10.947 Z-0.386 I0.4 J0.693
G3 X63.969 Y-10.254 Z-0.467 I-0.8 J0.0
G3 X63.969 Y-11.64 Z-0.548 I0.4 J-0.693
G3 X65.169 Y-10.947 Z-0.63 I0.4 J0.693
G3 X63.969 Y-10.254 Z-0.711 I-0.8 J0.0
G3 X63.969 Y-11.64 Z-0.792 I0.4 J-0.693
G3 X65.169 Y-10.947 Z-0.873 I0.4 J0.693
G3 X63.969 Y-10.254 Z-0.954 I-0.8 J0.0
G3 X63.969 Y-11.64 Z-1.035 I0.4 J-0.693
G3 X65.169 Y-10.947 Z-1.116 I0.4 J0.693
G3 X63.969 Y-10.254 Z-1.197 I-0.8 J0.0
G3 X63.969 Y-11.64 Z-1.279 I0.4 J-0.693
G3 X65.169 Y-10.947 Z-1.36 I0.4 J0.693
G3 X63.969 Y-10.254 Z-1.441 I-0.8 J0.0
G3 X63.969 Y-11.64 Z-1.522 I0.4 J-0.693
G3 X65.169 Y-10.947 Z-1.603 I0.4 J0.693
G3 X63.969 Y-10.254 I-0.8 J0.0
G3 X63.969 Y-11.64 I0.4 J-0.693
G3 X65.169 Y-10.947 I0.4 J0.693
G3 X64.769 Y-10.547 I-0.4 J0.0
G3 X64.369 Y-10.947 I0.0 J-0.4
G1 Z0.5 F400.0
G1 Z0.1 F180.0
G3 X65.369 Y-11.947 I1.0 J0.0 F600.0
G3 X66.369 Y-10.947 I0.0 J1.0
G3 X63.369 Y-9.215 Z-0.089 I-2.0 J0.0
G3 X63.369 Y-12.679 Z-0.278 I1.0 J-1.732
G3 X66.369 Y-10.947 Z-0.467 I1.0 J1.732
G3 X63.369 Y-9.215 Z-0.657 I-2.0 J0.0
G3 X63.369 Y-12.679 Z-0.846 I1.0 J-1.732
G3 X66.369 Y-10.947 Z-1.035 I1.0 J1.732
G3 X63.369 Y-9.215 Z-1.225 I-2.0 J0.0
G3 X63.369 Y-12.679 Z-1.414 I1.0 J-1.732
G3 X66.369 Y-10.947 Z-1.603 I1.0 J1.732
G3 X63.369 Y-9.215 I-2.0 J0.0
G3 X63.369 Y-12.679 I1.0 J-1.732
G3 X66.369 Y-10.947 I1.0 J1.732
G3 X65.369 Y-9.947 I-1.0 J0.0
G3 X64.369 Y-10.947 I0.0 J-1.0
G1 Z0.5 F400.0
G0 Z5.0
(face dot 3, treble side)
G0 X63.369 Y9.947
G0 X64.369 Y10.947
G0 Z0.5
G1 Z0.1 F180.0
G3 X64.769 Y10.547 I0.4 J0.0 F600.0
G3 X65.169 Y10.947 I0.0 J0.4
G3 X63.969 Y11.64 Z0.019 I-0.8 J0.0
G3 X63.969 Y10.254 Z-0.062 I0.4 J-0.693
G3 X65.169 Y10.947 Z-0.143 I0.4 J0.693
G3 X63.969 Y11.64 Z-0.224 I-0.8 J0.0
G3 X63.969 Y10.254 Z-0.305 I0.4 J-0.693
G3 X65.169 Y10.947 Z-0.386 I0.4 J0.693
G3 X63.969 Y11.64 Z-0.467 I-0.8 J0.0
G3 X63.969 Y10.254 Z-0.548 I0.4 J-0.693
G3 X65.169 Y10.947 Z-0.63 I0.4 J0.693
G3 X63.969 Y11.64 Z-0.711 I-0.8 J0.0
G3 X63.969 Y10.254 Z-0.792 I0.4 J-0.693
G3 X65.169 Y10.947 Z-0.873 I0.4 J0.693
G3 X63.969 Y11.64 Z-0.954 I-0.8 J0.0
G3 X63.969 Y10.254 Z-1.035 I0.4 J-0.693
G3 X65.169 Y10.947 Z-1.116 I0.4 J0.693
G3 X63.969 Y11.64 Z-1.197 I-0.8 J0.0
G3 X63.969 Y10.254 Z-1.279 I0.4 J-0.693
G3 X65.169 Y10.947 Z-1.36 I0.4 J0.693
G3 X63.969 Y11.64 Z-1.441 I-0.8 J0.0
G3 X63.969 Y10.254 Z-1.522 I0.4 J-0.693
G3 X65.169 Y10.947 Z-1.603 I0.4 J0.693
G3 X63.969 Y11.64 I-0.8 J0.0
G3 X63.969 Y10.254 I0.4 J-0.693
G3 X65.169 Y10.947 I0.4 J0.693
G3 X64.769 Y11.347 I-0.4 J0.0
G3 X64.369 Y10.947 I0.0 J-0.4
G1 Z0.5 F400.0
G1 Z0.1 F180.0
G3 X65.369 Y9.947 I1.0 J0.0 F600.0
G3 X66.369 Y10.947 I0.0 J1.0
G3 X63.369 Y12.679 Z-0.089 I-2.0 J0.0
G3 X63.369 Y9.215 Z-0.278 I1.0 J-1.732
G3 X66.369 Y10.947 Z-0.467 I1.0 J1.732
G3 X63.369 Y12.679 Z-0.657 I-2.0 J0.0
G3 X63.369 Y9.215 Z-0.846 I1.0 J-1.732
G3 X66.369 Y10.947 Z-1.035 I1.0 J1.732
G3 X63.369 Y12.679 Z-1.225 I-2.0 J0.0
G3 X63.369 Y9.215 Z-1.414 I1.0 J-1.732
G3 X66.369 Y10.947 Z-1.603 I1.0 J1.732
G3 X63.369 Y12.679 I-2.0 J0.0
G3 X63.369 Y9.215 I1.0 J-1.732
G3 X66.369 Y10.947 I1.0 J1.732
G3 X65.369 Y11.947 I-1.0 J0.0
G3 X64.369 Y10.947 I0.0 J-1.0
G1 Z0.5 F400.0
G0 Z5.0
M5
M2
