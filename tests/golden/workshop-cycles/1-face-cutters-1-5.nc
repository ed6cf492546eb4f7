(Pearlkerf, golden, face setup, file 1-face-cutters-1-5.nc)
(cutter 1, end mill 6.000 mm, 9500 rpm, feed 2850, plunge 365 mm/min, 6.000 mm)
(- a pass, deepest 1.60 mm below zero)
(cutter 5, end mill 0.580 mm, 24000 rpm, feed 384, plunge 96 mm/min, 0.225 mm a)
(- pass, deepest 2.20 mm below zero)
(X0 at the nut end of the finished board, Y0 on its centre line, Z0 on top of)
(- the wood at the centre line)
(zero is set in G54)
(playing face up, nut end at the left, bass edge toward the operator)
(the glue face lies flat on the bed, clamped so that it cannot move)
(the board is cut to its outline)
(the top of the blank is flat within 0.1 mm, touch it off at five places)
(slots run out over both long edges, clamps stay away from there)
(tape under all of the glue face can hold it without clamps)
(face dots may lie up to 0.10 mm below the raw face, which is right)
(radiusing brings the face down to them)
(cuts run out up to 1.1 mm past the bass edge, to Y -23.1, and up to 1.1 mm)
(- past the treble edge, to Y 23.1, as deep as Z -2.20, at X 26.7 to 76.7)
(clamps up to 1.3 mm above the wood, over an edge by 10 mm at most, may stand)
(- at X up to 9.4 mm, 28.3 to 51.0 mm, from 77.7 mm on)
(corners may be rounded by the controller)
(dry run of the face setup, its pointing run, written with --pointing, spindle)
(- off, 9 stops, 1 min of moves)
(after the dry run, cut the first slot or hole in scrap)
(board, Harbour Lane short trial board)
(machine profile workshop-cycles, blocks and notes in mm)
(this is the first program of the job)
(after this, 2-edge-cutter-3.nc)
(Dust harms the lungs, extract it and wear a mask made for it)
(Guards closed, eyes and ears covered, no gloves, a hand on the stop)
(Clamps clear of every move, jog above the highest of them first)
(Spindle stopped and disconnected before cutters are changed by hand)
(Local rules, machine manuals and licensed practice come first)
G21
G17 G90 G94 G54
G80
(setup=face cutter=1 cuts=face dots 1 3)
G0 Z10.0
S9500 M3
G4 P5.0
(face dot 1)
G0 X12.4702 Y-1.0
G0 X13.4702 Y0.0
G0 Z0.5
G99 G82 X13.4702 Y0.0 Z-1.5 R0.5 P0.012 F364.7
G80
G0 Z10.0
(face dot 3, bass side)
G0 X63.3692 Y-11.947
G0 X64.3692 Y-10.947
G0 Z0.5
G99 G82 X64.3692 Y-10.947 Z-1.6036 R0.5 P0.012
G80
G0 Z10.0
(face dot 3, treble side)
G0 X63.3692 Y9.947
G0 X64.3692 Y10.947
G0 Z0.5
G99 G82 X64.3692 Y10.947 Z-1.6036 R0.5 P0.012
G80
G0 Z10.0
M5
(change to cutter 5, end mill 0.580 mm and zero Z again on the same spot)
M0
G21
G17 G90 G94 G54
G80
(setup=face cutter=5 cuts=frets 1-3)
G0 Z10.0
S24000 M3
G4 P5.0
(fret 1, bass side first)
G0 X25.9403 Y-22.9142
G0 X26.9403 Y-21.9142
G0 Z0.5
G1 Z-0.2253 F96.0
G1 Y21.9142 F384.0
G1 Z-0.4506 F96.0
G1 Y-21.9142 F384.0
G1 Z-0.676 F96.0
G1 Y21.9142 F384.0
G1 Z-0.9013 F96.0
G1 Y-21.9142 F384.0
G1 Z-1.1267 F96.0
G1 Y21.9142 F384.0
G1 Z-1.352 F96.0
G1 Y-21.9142 F384.0
G1 Z-1.5773 F96.0
G1 Y-10.6505 F384.0
G1 Y-9.9255 Z-1.5551
G1 Y-10.9771 Z-1.5874
G1 Y-13.6489 Z-1.6928
G1 Y-15.9246 Z-1.8027
G1 Y-21.9142
G1 Z-2.028 F96.0
G1 Y-19.8082 F384.0
G1 Y-19.0832 Z-1.9803
G1 Y-21.6642 Z-2.1503
G1 Y-22.1642
G1 Y-21.6642
G1 Y-18.9924 Z-1.9743
G1 Y-16.3206 Z-1.8218
G1 Y-13.6489 Z-1.6928
G1 Y-10.9771 Z-1.5874
G1 Y-8.3053 Z-1.5054
G1 Y-5.6335 Z-1.4468
G1 Y-2.9618 Z-1.4117
G1 Y-0.29 Z-1.4
G1 Y0.29
G1 Y2.9618 Z-1.4117
G1 Y5.6335 Z-1.4468
G1 Y8.3053 Z-1.5054
G1 Y10.6505 Z-1.5773
G1 Y21.9142
G1 Z-1.8027 F96.0
G1 Y15.9246 F384.0
G1 Y15.1996 Z-1.7677
G1 Y16.3206 Z-1.8218
G1 Y18.9924 Z-1.9743
G1 Y19.8082 Z-2.028
G1 Y22.1642
G1 Z-2.1503 F96.0
G1 Y21.6642 F384.0
G1 Y18.9924 Z-1.9743
G1 Y16.3206 Z-1.8218
G1 Y13.6489 Z-1.6928
G1 Y10.9771 Z-1.5874
G1 Y10.6505 Z-1.5773
G1 Z0.5
G0 Z10.0
(fret 2, bass side first)
G0 X51.3686 Y-23.2674
G0 X52.3686 Y-22.2674
G0 Z0.5
G1 Z-0.2253 F96.0
G1 Y22.2674 F384.0
G1 Z-0.4506 F96.0
G1 Y-22.2674 F384.0
G1 Z-0.676 F96.0
G1 Y22.2674 F384.0
G1 Z-0.9013 F96.0
G1 Y-22.2674 F384.0
G1 Z-1.1267 F96.0
G1 Y22.2674 F384.0
G1 Z-1.352 F96.0
G1 Y-22.2674 F384.0
G1 Z-1.5773 F96.0
G1 Y-10.6322 F384.0
G1 Y-9.9072 Z-1.5547
G1 Y-11.1537 Z-1.5936
G1 Y-13.8696 Z-1.7026
G1 Y-15.9093 Z-1.8027
G1 Y-22.2674
G1 Z-2.028 F96.0
G1 Y-19.8179 F384.0
G1 Y-19.3014 Z-1.9934
G1 Y-19.0929 Z-1.9813
G1 Y-19.3014 Z-1.9934
G1 Y-22.0173 Z-2.1753
G1 Y-22.5173
G1 Y-22.0173
G1 Y-19.3014 Z-1.9934
G1 Y-16.5855 Z-1.8359
G1 Y-13.8696 Z-1.7026
G1 Y-11.1537 Z-1.5936
G1 Y-8.4378 Z-1.5089
G1 Y-5.7218 Z-1.4484
G1 Y-3.0059 Z-1.4121
G1 Y-0.29 Z-1.4
G1 Y0.29
G1 Y3.0059 Z-1.4121
G1 Y5.7218 Z-1.4484
G1 Y8.4378 Z-1.5089
G1 Y10.6322 Z-1.5773
G1 Y22.2674
G1 Z-1.8027 F96.0
G1 Y15.9093 F384.0
G1 Y15.1843 Z-1.7671
G1 Y16.5855 Z-1.8359
G1 Y19.3014 Z-1.9934
G1 Y19.8179 Z-2.028
G1 Y22.5173
G1 Z-2.1753 F96.0
G1 Y22.0173 F384.0
G1 Y19.3014 Z-1.9934
G1 Y16.5855 Z-1.8359
G1 Y13.8696 Z-1.7026
G1 Y11.1537 Z-1.5936
G1 Y10.6322 Z-1.5773
G1 Z0.5
G0 Z10.0
(fret 3, bass side first)
G0 X75.3697 Y-23.6007
G0 X76.3697 Y-22.6007
G0 Z0.5
G1 Z-0.2253 F96.0
G1 Y22.6007 F384.0
G1 Z-0.4506 F96.0
G1 Y-22.6007 F384.0
G1 Z-0.676 F96.0
G1 Y22.6007 F384.0
G1 Z-0.9013 F96.0
G1 Y-22.6007 F384.0
G1 Z-1.1267 F96.0
G1 Y22.6007 F384.0
G1 Z-1.352 F96.0
G1 Y-22.6007 F384.0
G1 Z-1.5773 F96.0
G1 Y-10.6177 F384.0
G1 Y-9.8927 Z-1.5544
G1 Y-11.3203 Z-1.5996
G1 Y-14.0779 Z-1.712
G1 Y-15.8988 Z-1.8027
G1 Y-22.6007
G1 Z-2.028 F96.0
G1 Y-19.8317 F384.0
G1 Y-19.5931 Z-2.0118
G1 Y-19.1067 Z-1.9831
G1 Y-19.5931 Z-2.0118
G1 Y-22.3507 Z-2.1993
G1 Y-22.8507
G1 Y-22.3507
G1 Y-19.5931 Z-2.0118
G1 Y-16.8355 Z-1.8494
G1 Y-14.0779 Z-1.712
G1 Y-11.3203 Z-1.5996
G1 Y-8.5628 Z-1.5122
G1 Y-5.8052 Z-1.4499
G1 Y-3.0476 Z-1.4124
G1 Y-0.29 Z-1.4
G1 Y0.29
G1 Y3.0476 Z-1.4124
G1 Y5.8052 Z-1.4499
G1 Y8.5628 Z-1.5122
G1 Y10.6177 Z-1.5773
G1 Y22.6007
G1 Z-1.8027 F96.0
G1 Y15.8988 F384.0
G1 Y15.1738 Z-1.7666
G1 Y16.8355 Z-1.8494
G1 Y19.5931 Z-2.0118
G1 Y19.8317 Z-2.028
G1 Y22.8507
G1 Z-2.1993 F96.0
G1 Y22.3507 F384.0
G1 Y19.5931 Z-2.0118
G1 Y16.8355 Z-1.8494
G1 Y14.0779 Z-1.712
G1 Y11.3203 Z-1.5996
G1 Y10.6177 Z-1.5773
G1 Z0.5
G0 Z10.0
M5
M2
