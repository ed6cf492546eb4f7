(Pearlkerf, golden, face setup, file 2-face-cutter-1.nc)
(cutter 1, end mill 0.580 mm, 24000 rpm, feed 384, plunge 96 mm/min,)
(- 0.225 mm a pass, deepest 2.20 mm below zero)
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
(clamps up to 1.3 mm above the wood, over an edge by 10 mm at most,)
(- may stand at X up to 9.4 mm, 28.3 to 51.0 mm, from 77.7 mm on)
(corners may be rounded by the controller)
(dry run of the face setup, its pointing run, written with)
(- --pointing, spindle off, 9 stops, 1 min of moves)
(after the dry run, cut the first slot or hole in scrap)
(board, Harbour Lane short trial board)
(machine profile benchtop-arcs, blocks and notes in mm)
(before this, 1-face-cutter-2.nc)
(after this, 3-edge-cutter-3.nc)
(Dust harms the lungs, extract it and wear a mask made for it)
(Guards closed, eyes and ears covered, no gloves, a hand on the stop)
(Clamps clear of every move, jog above the highest of them first)
(Spindle stopped and disconnected before cutters are changed by hand)
(Local rules, machine manuals and licensed practice come first)
G21
G17 G90 G94 G54
(setup=face cutter=1 cuts=frets 1-3)
G0 Z8.0
S24000 M3
G4 P4.0
(fret 1, bass side first)
G0 X25.94 Y-22.914
G0 X26.94 Y-21.914
G0 Z0.5
G1 Z-0.225 F96.0
G1 Y21.914 F384.0
G1 Z-0.45 F96.0
G1 Y-21.914 F384.0
G1 Z-0.676 F96.0
G1 Y21.914 F384.0
G1 Z-0.901 F96.0
G1 Y-21.914 F384.0
G1 Z-1.126 F96.0
G1 Y21.914 F384.0
G1 Z-1.352 F96.0
G1 Y-21.914 F384.0
G1 Z-1.577 F96.0
G1 Y-10.651 F384.0
G1 Y-9.926 Z-1.555
G1 Y-10.977 Z-1.587
G1 Y-13.649 Z-1.692
G1 Y-15.925 Z-1.802
G1 Y-21.914
G1 Z-2.028 F96.0
G1 Y-19.808 F384.0
G1 Y-19.083 Z-1.98
G1 Y-21.664 Z-2.15
G1 Y-22.164
G1 Y-21.664
G1 Y-18.992 Z-1.974
G1 Y-16.321 Z-1.821
G1 Y-13.649 Z-1.692
G1 Y-10.977 Z-1.587
G1 Y-8.305 Z-1.505
G1 Y-5.634 Z-1.446
G1 Y-2.962 Z-1.411
G1 Y-0.29 Z-1.4
G1 Y0.29
G1 Y2.962 Z-1.411
G1 Y5.634 Z-1.446
G1 Y8.305 Z-1.505
G1 Y10.651 Z-1.577
G1 Y21.914
G1 Z-1.802 F96.0
G1 Y15.925 F384.0
G1 Y15.2 Z-1.767
G1 Y16.321 Z-1.821
G1 Y18.992 Z-1.974
G1 Y19.808 Z-2.028
G1 Y22.164
G1 Z-2.15 F96.0
G1 Y21.664 F384.0
G1 Y18.992 Z-1.974
G1 Y16.321 Z-1.821
G1 Y13.649 Z-1.692
G1 Y10.977 Z-1.587
G1 Y10.651 Z-1.577
G1 Z0.5
G0 Z8.0
(fret 2, bass side first)
G0 X51.369 Y-23.267
G0 X52.369 Y-22.267
G0 Z0.5
G1 Z-0.225 F96.0
G1 Y22.267 F384.0
G1 Z-0.45 F96.0
G1 Y-22.267 F384.0
G1 Z-0.676 F96.0
G1 Y22.267 F384.0
G1 Z-0.901 F96.0
G1 Y-22.267 F384.0
G1 Z-1.126 F96.0
G1 Y22.267 F384.0
G1 Z-1.352 F96.0
G1 Y-22.267 F384.0
G1 Z-1.577 F96.0
G1 Y-10.632 F384.0
G1 Y-9.907 Z-1.554
G1 Y-11.154 Z-1.593
G1 Y-13.87 Z-1.702
G1 Y-15.909 Z-1.802
G1 Y-22.267
G1 Z-2.028 F96.0
G1 Y-19.818 F384.0
G1 Y-19.301 Z-1.993
G1 Y-19.093 Z-1.981
G1 Y-19.301 Z-1.993
G1 Y-22.017 Z-2.175
G1 Y-22.517
G1 Y-22.017
G1 Y-19.301 Z-1.993
G1 Y-16.586 Z-1.835
G1 Y-13.87 Z-1.702
G1 Y-11.154 Z-1.593
G1 Y-8.438 Z-1.508
G1 Y-5.722 Z-1.448
G1 Y-3.006 Z-1.412
G1 Y-0.29 Z-1.4
G1 Y0.29
G1 Y3.006 Z-1.412
G1 Y5.722 Z-1.448
G1 Y8.438 Z-1.508
G1 Y10.632 Z-1.577
G1 Y22.267
G1 Z-1.802 F96.0
G1 Y15.909 F384.0
G1 Y15.184 Z-1.767
G1 Y16.586 Z-1.835
G1 Y19.301 Z-1.993
G1 Y19.818 Z-2.028
G1 Y22.517
G1 Z-2.175 F96.0
G1 Y22.017 F384.0
G1 Y19.301 Z-1.993
G1 Y16.586 Z-1.835
G1 Y13.87 Z-1.702
G1 Y11.154 Z-1.593
G1 Y10.632 Z-1.577
G1 Z0.5
G0 Z8.0
(fret 3, bass side first)
G0 X75.37 Y-23.601
G0 X76.37 Y-22.601
G0 Z0.5
G1 Z-0.225 F96.0
G1 Y22.601 F384.0
G1 Z-0.45 F96.0
G1 Y-22.601 F384.0
G1 Z-0.676 F96.0
G1 Y22.601 F384.0
G1 Z-0.901 F96.0
G1 Y-22.601 F384.0
G1 Z-1.126 F96.0
G1 Y22.601 F384.0
G1 Z-1.352 F96.0
G1 Y-22.601 F384.0
G1 Z-1.577 F96.0
G1 Y-10.618 F384.0
G1 Y-9.893 Z-1.554
G1 Y-11.32 Z-1.599
G1 Y-14.078 Z-1.712
G1 Y-15.899 Z-1.802
G1 Y-22.601
G1 Z-2.028 F96.0
G1 Y-19.832 F384.0
G1 Y-19.593 Z-2.011
G1 Y-19.107 Z-1.983
G1 Y-19.593 Z-2.011
G1 Y-22.351 Z-2.199
G1 Y-22.851
G1 Y-22.351
G1 Y-19.593 Z-2.011
G1 Y-16.836 Z-1.849
G1 Y-14.078 Z-1.712
G1 Y-11.32 Z-1.599
G1 Y-8.563 Z-1.512
G1 Y-5.805 Z-1.449
G1 Y-3.048 Z-1.412
G1 Y-0.29 Z-1.4
G1 Y0.29
G1 Y3.048 Z-1.412
G1 Y5.805 Z-1.449
G1 Y8.563 Z-1.512
G1 Y10.618 Z-1.577
G1 Y22.601
G1 Z-1.802 F96.0
G1 Y15.899 F384.0
G1 Y15.174 Z-1.766
G1 Y16.836 Z-1.849
G1 Y19.593 Z-2.011
G1 Y19.832 Z-2.028
G1 Y22.851
G1 Z-2.199 F96.0
G1 Y22.351 F384.0
G1 Y19.593 Z-2.011
G1 Y16.836 Z-1.849
G1 Y14.078 Z-1.712
G1 Y11.32 Z-1.599
G1 Y10.618 Z-1.577
G1 Z0.5
G0 Z8.0
M5
M2
