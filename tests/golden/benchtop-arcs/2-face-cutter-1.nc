(Pearlkerf, golden, face setup, file 2-face-cutter-1.nc)
(cutter 1, end mill 0.580 mm, 24000 rpm, feed 384, plunge 96 mm/min,)
(- 0.225 mm a pass, deepest 2.24 mm below zero)
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
(- 1.1 mm past the treble edge, to Y 23.1, as deep as Z -2.24, at X)
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
G0 X25.94 Y-23.164
G0 X26.94 Y-22.164
G0 Z0.5
G1 Z-0.218 F96.0
G1 Y-11.227 Z-0.159 F384.0
G1 Y-0.29 Z-0.14
G1 Y0.29
G1 Y11.227 Z-0.159
G1 Y22.164 Z-0.218
G1 Z-0.437 F96.0
G1 Y11.227 Z-0.319 F384.0
G1 Y0.29 Z-0.28
G1 Y-0.29
G1 Y-11.227 Z-0.319
G1 Y-22.164 Z-0.437
G1 Z-0.655 F96.0
G1 Y-11.227 Z-0.478 F384.0
G1 Y-0.29 Z-0.42
G1 Y0.29
G1 Y11.227 Z-0.478
G1 Y22.164 Z-0.655
G1 Z-0.874 F96.0
G1 Y11.227 Z-0.638 F384.0
G1 Y0.29 Z-0.56
G1 Y-0.29
G1 Y-11.227 Z-0.638
G1 Y-22.164 Z-0.874
G1 Z-1.092 F96.0
G1 Y-11.227 Z-0.798 F384.0
G1 Y-0.29 Z-0.7
G1 Y0.29
G1 Y11.227 Z-0.798
G1 Y22.164 Z-1.092
G1 Z-1.311 F96.0
G1 Y11.227 Z-0.957 F384.0
G1 Y0.29 Z-0.84
G1 Y-0.29
G1 Y-11.227 Z-0.957
G1 Y-22.164 Z-1.311
G1 Z-1.53 F96.0
G1 Y-11.227 Z-1.117 F384.0
G1 Y-0.29 Z-0.98
G1 Y0.29
G1 Y11.227 Z-1.117
G1 Y22.164 Z-1.53
G1 Z-1.748 F96.0
G1 Y11.227 Z-1.277 F384.0
G1 Y0.29 Z-1.12
G1 Y-0.29
G1 Y-11.227 Z-1.277
G1 Y-22.164 Z-1.748
G1 Z-1.967 F96.0
G1 Y-11.227 Z-1.436 F384.0
G1 Y-0.29 Z-1.26
G1 Y0.29
G1 Y11.227 Z-1.436
G1 Y22.164 Z-1.967
G1 Z-2.185 F96.0
G1 Y19.43 Z-2.001 F384.0
G1 Y16.696 Z-1.841
G1 Y13.961 Z-1.706
G1 Y11.227 Z-1.596
G1 Y8.493 Z-1.51
G1 Y5.759 Z-1.449
G1 Y3.024 Z-1.412
G1 Y0.29 Z-1.4
G1 Y-0.29
G1 Y-3.024 Z-1.412
G1 Y-5.759 Z-1.449
G1 Y-8.493 Z-1.51
G1 Y-11.227 Z-1.596
G1 Y-13.961 Z-1.706
G1 Y-16.696 Z-1.841
G1 Y-19.43 Z-2.001
G1 Y-22.164 Z-2.185
G1 Z0.5
G0 Z8.0
(fret 2, bass side first)
G0 X51.369 Y-23.517
G0 X52.369 Y-22.517
G0 Z0.5
G1 Z-0.221 F96.0
G1 Y-15.108 Z-0.176 F384.0
G1 Y-7.699 Z-0.149
G1 Y-0.29 Z-0.14
G1 Y0.29
G1 Y7.699 Z-0.149
G1 Y15.108 Z-0.176
G1 Y22.517 Z-0.221
G1 Z-0.442 F96.0
G1 Y15.108 Z-0.352 F384.0
G1 Y7.699 Z-0.298
G1 Y0.29 Z-0.28
G1 Y-0.29
G1 Y-7.699 Z-0.298
G1 Y-15.108 Z-0.352
G1 Y-22.517 Z-0.442
G1 Z-0.663 F96.0
G1 Y-15.108 Z-0.528 F384.0
G1 Y-7.699 Z-0.447
G1 Y-0.29 Z-0.42
G1 Y0.29
G1 Y7.699 Z-0.447
G1 Y15.108 Z-0.528
G1 Y22.517 Z-0.663
G1 Z-0.884 F96.0
G1 Y15.108 Z-0.704 F384.0
G1 Y7.699 Z-0.596
G1 Y0.29 Z-0.56
G1 Y-0.29
G1 Y-7.699 Z-0.596
G1 Y-15.108 Z-0.704
G1 Y-22.517 Z-0.884
G1 Z-1.105 F96.0
G1 Y-15.108 Z-0.88 F384.0
G1 Y-7.699 Z-0.745
G1 Y-0.29 Z-0.7
G1 Y0.29
G1 Y7.699 Z-0.745
G1 Y15.108 Z-0.88
G1 Y22.517 Z-1.105
G1 Z-1.326 F96.0
G1 Y15.108 Z-1.056 F384.0
G1 Y7.699 Z-0.894
G1 Y0.29 Z-0.84
G1 Y-0.29
G1 Y-7.699 Z-0.894
G1 Y-15.108 Z-1.056
G1 Y-22.517 Z-1.326
G1 Z-1.548 F96.0
G1 Y-15.108 Z-1.232 F384.0
G1 Y-7.699 Z-1.043
G1 Y-0.29 Z-0.98
G1 Y0.29
G1 Y7.699 Z-1.043
G1 Y15.108 Z-1.232
G1 Y22.517 Z-1.548
G1 Z-1.769 F96.0
G1 Y15.108 Z-1.408 F384.0
G1 Y7.699 Z-1.192
G1 Y0.29 Z-1.12
G1 Y-0.29
G1 Y-7.699 Z-1.192
G1 Y-15.108 Z-1.408
G1 Y-22.517 Z-1.769
G1 Z-1.99 F96.0
G1 Y-15.108 Z-1.584 F384.0
G1 Y-7.699 Z-1.341
G1 Y-0.29 Z-1.26
G1 Y0.29
G1 Y7.699 Z-1.341
G1 Y15.108 Z-1.584
G1 Y22.517 Z-1.99
G1 Z-2.211 F96.0
G1 Y19.739 Z-2.021 F384.0
G1 Y16.961 Z-1.856
G1 Y14.182 Z-1.716
G1 Y11.404 Z-1.602
G1 Y8.625 Z-1.513
G1 Y5.847 Z-1.45
G1 Y3.068 Z-1.412
G1 Y0.29 Z-1.4
G1 Y-0.29
G1 Y-3.068 Z-1.412
G1 Y-5.847 Z-1.45
G1 Y-8.625 Z-1.513
G1 Y-11.404 Z-1.602
G1 Y-14.182 Z-1.716
G1 Y-16.961 Z-1.856
G1 Y-19.739 Z-2.021
G1 Y-22.517 Z-2.211
G1 Z0.5
G0 Z8.0
(fret 3, bass side first)
G0 X75.37 Y-23.851
G0 X76.37 Y-22.851
G0 Z0.5
G1 Z-0.223 F96.0
G1 Y-15.33 Z-0.177 F384.0
G1 Y-7.81 Z-0.149
G1 Y-0.29 Z-0.14
G1 Y0.29
G1 Y7.81 Z-0.149
G1 Y15.33 Z-0.177
G1 Y22.851 Z-0.223
G1 Z-0.447 F96.0
G1 Y15.33 Z-0.354 F384.0
G1 Y7.81 Z-0.298
G1 Y0.29 Z-0.28
G1 Y-0.29
G1 Y-7.81 Z-0.298
G1 Y-15.33 Z-0.354
G1 Y-22.851 Z-0.447
G1 Z-0.67 F96.0
G1 Y-15.33 Z-0.531 F384.0
G1 Y-7.81 Z-0.447
G1 Y-0.29 Z-0.42
G1 Y0.29
G1 Y7.81 Z-0.447
G1 Y15.33 Z-0.531
G1 Y22.851 Z-0.67
G1 Z-0.894 F96.0
G1 Y15.33 Z-0.708 F384.0
G1 Y7.81 Z-0.597
G1 Y0.29 Z-0.56
G1 Y-0.29
G1 Y-7.81 Z-0.597
G1 Y-15.33 Z-0.708
G1 Y-22.851 Z-0.894
G1 Z-1.118 F96.0
G1 Y-15.33 Z-0.885 F384.0
G1 Y-7.81 Z-0.746
G1 Y-0.29 Z-0.7
G1 Y0.29
G1 Y7.81 Z-0.746
G1 Y15.33 Z-0.885
G1 Y22.851 Z-1.118
G1 Z-1.341 F96.0
G1 Y15.33 Z-1.062 F384.0
G1 Y7.81 Z-0.895
G1 Y0.29 Z-0.84
G1 Y-0.29
G1 Y-7.81 Z-0.895
G1 Y-15.33 Z-1.062
G1 Y-22.851 Z-1.341
G1 Z-1.565 F96.0
G1 Y-15.33 Z-1.239 F384.0
G1 Y-7.81 Z-1.044
G1 Y-0.29 Z-0.98
G1 Y0.29
G1 Y7.81 Z-1.044
G1 Y15.33 Z-1.239
G1 Y22.851 Z-1.565
G1 Z-1.788 F96.0
G1 Y15.33 Z-1.417 F384.0
G1 Y7.81 Z-1.194
G1 Y0.29 Z-1.12
G1 Y-0.29
G1 Y-7.81 Z-1.194
G1 Y-15.33 Z-1.417
G1 Y-22.851 Z-1.788
G1 Z-2.012 F96.0
G1 Y-15.33 Z-1.594 F384.0
G1 Y-7.81 Z-1.343
G1 Y-0.29 Z-1.26
G1 Y0.29
G1 Y7.81 Z-1.343
G1 Y15.33 Z-1.594
G1 Y22.851 Z-2.012
G1 Z-2.236 F96.0
G1 Y20.031 Z-2.039 F384.0
G1 Y17.211 Z-1.87
G1 Y14.39 Z-1.726
G1 Y11.57 Z-1.608
G1 Y8.75 Z-1.517
G1 Y5.93 Z-1.452
G1 Y3.11 Z-1.413
G1 Y0.29 Z-1.4
G1 Y-0.29
G1 Y-3.11 Z-1.413
G1 Y-5.93 Z-1.452
G1 Y-8.75 Z-1.517
G1 Y-11.57 Z-1.608
G1 Y-14.39 Z-1.726
G1 Y-17.211 Z-1.87
G1 Y-20.031 Z-2.039
G1 Y-22.851 Z-2.236
G1 Z0.5
G0 Z8.0
M5
M2
