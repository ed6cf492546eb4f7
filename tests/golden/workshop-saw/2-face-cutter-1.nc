(Pearlkerf, golden, face setup, file 2-face-cutter-1.nc)
(cutter 1, saw 63.000 mm, kerf 0.580 mm, 3000 rpm, feed 1200, plunge)
(- 300 mm/min, 1.000 mm a pass, deepest 2.28 mm below zero)
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
(cutter 1 is a saw across the board, Z 0 is where its lowest point)
(- touches the top on the centre line, X 0 where the middle of its)
(- kerf stands over the nut end)
(conventional sawing, the lowest teeth run away from the operator,)
(- every cut feeds away from the operator, never faster than 6000 rpm)
(the middle of the blade runs up to 12.8 mm past each edge, clamps)
(- stay off the edge by 24.5 mm where no higher than the wood, 32.9)
(- mm where 5 mm higher, 37.7 mm where 10 mm higher, 42.9 mm where 20)
(- mm higher)
(nothing under the arbor stands higher than 7.2 mm above the wood)
(cuts run out up to 24.5 mm past the bass edge, to Y -46.6, and up to)
(- 24.5 mm past the treble edge, to Y 46.6, as deep as Z -2.28, at X)
(- 26.7 to 76.7)
(corners may be rounded by the controller)
(dry run of the face setup, its pointing run, written with)
(- --pointing, spindle off, 9 stops, 1 min of moves)
(after the dry run, cut the first slot or hole in scrap)
(board, Harbour Lane short trial board)
(machine profile workshop-saw, blocks and notes in mm)
(before this, 1-face-cutter-3.nc)
(after this, 3-edge-cutter-4.nc)
(Dust harms the lungs, extract it and wear a mask made for it)
(Guards closed, eyes and ears covered, no gloves, a hand on the stop)
(Clamps clear of every move, jog above the highest of them first)
(Spindle stopped and disconnected before cutters are changed by hand)
(Local rules, machine manuals and licensed practice come first)
G21
G17 G90 G94 G54
(setup=face cutter=1 cuts=frets 1-3)
G0 Z10.0
(the guard is over the blade, its lowest teeth run away from you, it)
(- bears 6000 turns a minute at most, stand out of its plane)
M0
G21
G17 G90 G94 G54
G0 Z10.0
S3000 M3
G4 P5.0
(fret 1, bass side first)
G0 X25.94 Y-30.1
G0 X26.94 Y-29.1
G0 Z0.5
G1 Z-0.725 F300.0
G1 Y-22.116 F1200.0
G1 Y-17.201 Z-0.623
G1 Y-12.286 Z-0.546
G1 Y-7.372 Z-0.495
G1 Y-2.457 Z-0.469
G1 Y2.457
G1 Y7.372 Z-0.495
G1 Y12.286 Z-0.546
G1 Y17.201 Z-0.623
G1 Y22.116 Z-0.725
G1 Y29.1
G1 Z0.5 F800.0
G0 Z10.0
G0 X25.94 Y-32.883
G0 X26.94 Y-31.883
G0 Z0.5
G1 Z-1.468 F300.0
G1 Y-22.853 F1200.0
G1 Y-19.337 Z-1.316
G1 Y-15.821 Z-1.189
G1 Y-12.305 Z-1.088
G1 Y-8.789 Z-1.012
G1 Y-5.273 Z-0.961
G1 Y-1.758 Z-0.936
G1 Y1.758
G1 Y5.273 Z-0.961
G1 Y8.789 Z-1.012
G1 Y12.305 Z-1.088
G1 Y15.821 Z-1.189
G1 Y19.337 Z-1.316
G1 Y22.853 Z-1.468
G1 Y31.883
G1 Z0.5 F800.0
G0 Z10.0
G0 X25.94 Y-35.015
G0 X26.94 Y-34.015
G0 Z0.5
G1 Z-2.228 F300.0
G1 Y-23.588 F1200.0
G1 Y-20.639 Z-2.033
G1 Y-17.691 Z-1.865
G1 Y-14.742 Z-1.723
G1 Y-11.794 Z-1.606
G1 Y-8.845 Z-1.516
G1 Y-5.897 Z-1.451
G1 Y-2.948 Z-1.412
G1 Y0.0 Z-1.4
G1 Y2.948 Z-1.412
G1 Y5.897 Z-1.451
G1 Y8.845 Z-1.516
G1 Y11.794 Z-1.606
G1 Y14.742 Z-1.723
G1 Y17.691 Z-1.865
G1 Y20.639 Z-2.033
G1 Y23.588 Z-2.228
G1 Y34.015
G1 Z0.5 F800.0
G0 Z10.0
(fret 2, bass side first)
G0 X51.369 Y-30.493
G0 X52.369 Y-29.493
G0 Z0.5
G1 Z-0.734 F300.0
G1 Y-22.482 F1200.0
G1 Y-17.485 Z-0.628
G1 Y-12.489 Z-0.549
G1 Y-7.493 Z-0.496
G1 Y-2.498 Z-0.469
G1 Y2.498
G1 Y7.493 Z-0.496
G1 Y12.489 Z-0.549
G1 Y17.485 Z-0.628
G1 Y22.482 Z-0.734
G1 Y29.493
G1 Z0.5 F800.0
G0 Z10.0
G0 X51.369 Y-33.293
G0 X52.369 Y-32.293
G0 Z0.5
G1 Z-1.486 F300.0
G1 Y-23.231 F1200.0
G1 Y-19.656 Z-1.328
G1 Y-16.082 Z-1.198
G1 Y-12.508 Z-1.093
G1 Y-8.934 Z-1.015
G1 Y-5.36 Z-0.962
G1 Y-1.787 Z-0.936
G1 Y1.787
G1 Y5.36 Z-0.962
G1 Y8.934 Z-1.015
G1 Y12.508 Z-1.093
G1 Y16.082 Z-1.198
G1 Y19.656 Z-1.328
G1 Y23.231 Z-1.486
G1 Y32.293
G1 Z0.5 F800.0
G0 Z10.0
G0 X51.369 Y-35.437
G0 X52.369 Y-34.437
G0 Z0.5
G1 Z-2.255 F300.0
G1 Y-23.977 F1200.0
G1 Y-20.98 Z-2.055
G1 Y-17.983 Z-1.881
G1 Y-14.986 Z-1.734
G1 Y-11.989 Z-1.613
G1 Y-8.991 Z-1.52
G1 Y-5.994 Z-1.453
G1 Y-2.997 Z-1.413
G1 Y0.0 Z-1.4
G1 Y2.997 Z-1.413
G1 Y5.994 Z-1.453
G1 Y8.991 Z-1.52
G1 Y11.989 Z-1.613
G1 Y14.986 Z-1.734
G1 Y17.983 Z-1.881
G1 Y20.98 Z-2.055
G1 Y23.977 Z-2.255
G1 Y34.437
G1 Z0.5 F800.0
G0 Z10.0
(fret 3, bass side first)
G0 X75.37 Y-30.863
G0 X76.37 Y-29.863
G0 Z0.5
G1 Z-0.742 F300.0
G1 Y-22.827 F1200.0
G1 Y-17.753 Z-0.633
G1 Y-12.681 Z-0.551
G1 Y-7.608 Z-0.497
G1 Y-2.536 Z-0.47
G1 Y2.536
G1 Y7.608 Z-0.497
G1 Y12.681 Z-0.551
G1 Y17.753 Z-0.633
G1 Y22.827 Z-0.742
G1 Y29.863
G1 Z0.5 F800.0
G0 Z10.0
G0 X75.37 Y-33.68
G0 X76.37 Y-32.68
G0 Z0.5
G1 Z-1.503 F300.0
G1 Y-23.587 F1200.0
G1 Y-19.958 Z-1.341
G1 Y-16.329 Z-1.206
G1 Y-12.7 Z-1.098
G1 Y-9.071 Z-1.017
G1 Y-5.443 Z-0.963
G1 Y-1.814 Z-0.936
G1 Y1.814
G1 Y5.443 Z-0.963
G1 Y9.071 Z-1.017
G1 Y12.7 Z-1.098
G1 Y16.329 Z-1.206
G1 Y19.958 Z-1.341
G1 Y23.587 Z-1.503
G1 Y32.68
G1 Z0.5 F800.0
G0 Z10.0
G0 X75.37 Y-35.837
G0 X76.37 Y-34.837
G0 Z0.5
G1 Z-2.282 F300.0
G1 Y-24.345 F1200.0
G1 Y-21.302 Z-2.075
G1 Y-18.259 Z-1.896
G1 Y-15.216 Z-1.744
G1 Y-12.173 Z-1.62
G1 Y-9.129 Z-1.523
G1 Y-6.086 Z-1.455
G1 Y-3.043 Z-1.413
G1 Y0.0 Z-1.4
G1 Y3.043 Z-1.413
G1 Y6.086 Z-1.455
G1 Y9.129 Z-1.523
G1 Y12.173 Z-1.62
G1 Y15.216 Z-1.744
G1 Y18.259 Z-1.896
G1 Y21.302 Z-2.075
G1 Y24.345 Z-2.282
G1 Y34.837
G1 Z0.5 F800.0
G0 Z10.0
M5
M2
