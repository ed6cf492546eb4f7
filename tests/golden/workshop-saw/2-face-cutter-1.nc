(Pearlkerf, golden, face setup, file 2-face-cutter-1.nc)
(board, Harbour Lane short trial board)
(machine profile workshop-saw, blocks in mm, these notes in mm)
(before this, 1-face-cutter-3.nc)
(after this, 3-edge-cutter-4.nc)
(playing face up, nut end at the left, bass edge toward the operator)
(X0 at the nut end of the finished board, Y0 on its centre line, Z0)
(- on top of the wood at the centre line)
(the board is cut to its outline)
(the top of the blank is flat within 0.1 mm, touch it off at five)
(- places)
(the glue face lies flat on the bed, clamped so that it cannot move)
(face dots may lie up to 0.10 mm below the raw face, which is right)
(radiusing brings the face down to them)
(cutter 1, saw 63.000 mm, kerf 0.580 mm, 3000 rpm, feed 1200, plunge)
(- 300 mm/min, 1.000 mm a pass, deepest 2.28 mm below zero)
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
(Guards closed, eyes and ears protected, no gloves or loose sleeves)
(- near the cutter.)
(Wood and shell dust harm the lungs, extract at the source and wear a)
(- mask made for it.)
(Jog above the clamps first, and keep clamps clear of every move.)
(First run it above the work with the spindle off, with a hand on the)
(- stop.)
(Stop the spindle and disconnect it before a cutter is changed by)
(- hand.)
(Local rules, the manual of the machine and licensed practice come)
(- first.)
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
G0 X25.94 Y-30.095
G0 X26.94 Y-29.095
G0 Z0.5
G1 Z-0.725 F300.0
G1 Y-22.112 F1200.0
G1 Y-17.198 Z-0.623
G1 Y-12.284 Z-0.546
G1 Y-7.37 Z-0.495
G1 Y-2.457 Z-0.469
G1 Y2.457
G1 Y7.37 Z-0.495
G1 Y12.284 Z-0.546
G1 Y17.198 Z-0.623
G1 Y22.112 Z-0.725
G1 Y29.095
G1 Z0.5 F800.0
G0 Z10.0
G0 X25.94 Y-32.879
G0 X26.94 Y-31.879
G0 Z0.5
G1 Z-1.468 F300.0
G1 Y-22.849 F1200.0
G1 Y-19.333 Z-1.316
G1 Y-15.818 Z-1.189
G1 Y-12.302 Z-1.088
G1 Y-8.787 Z-1.012
G1 Y-5.272 Z-0.961
G1 Y-1.757 Z-0.936
G1 Y1.757
G1 Y5.272 Z-0.961
G1 Y8.787 Z-1.012
G1 Y12.302 Z-1.088
G1 Y15.818 Z-1.189
G1 Y19.333 Z-1.316
G1 Y22.849 Z-1.468
G1 Y31.879
G1 Z0.5 F800.0
G0 Z10.0
G0 X25.94 Y-35.01
G0 X26.94 Y-34.01
G0 Z0.5
G1 Z-2.227 F300.0
G1 Y-23.583 F1200.0
G1 Y-20.635 Z-2.033
G1 Y-17.687 Z-1.865
G1 Y-14.739 Z-1.723
G1 Y-11.792 Z-1.606
G1 Y-8.844 Z-1.516
G1 Y-5.896 Z-1.451
G1 Y-2.948 Z-1.412
G1 Y0.0 Z-1.4
G1 Y2.948 Z-1.412
G1 Y5.896 Z-1.451
G1 Y8.844 Z-1.516
G1 Y11.792 Z-1.606
G1 Y14.739 Z-1.723
G1 Y17.687 Z-1.865
G1 Y20.635 Z-2.033
G1 Y23.583 Z-2.227
G1 Y34.01
G1 Z0.5 F800.0
G0 Z10.0
(fret 2, bass side first)
G0 X51.369 Y-30.488
G0 X52.369 Y-29.488
G0 Z0.5
G1 Z-0.734 F300.0
G1 Y-22.478 F1200.0
G1 Y-17.482 Z-0.628
G1 Y-12.487 Z-0.549
G1 Y-7.492 Z-0.496
G1 Y-2.497 Z-0.469
G1 Y2.497
G1 Y7.492 Z-0.496
G1 Y12.487 Z-0.549
G1 Y17.482 Z-0.628
G1 Y22.478 Z-0.734
G1 Y29.488
G1 Z0.5 F800.0
G0 Z10.0
G0 X51.369 Y-33.288
G0 X52.369 Y-32.288
G0 Z0.5
G1 Z-1.485 F300.0
G1 Y-23.226 F1200.0
G1 Y-19.653 Z-1.328
G1 Y-16.079 Z-1.198
G1 Y-12.506 Z-1.093
G1 Y-8.933 Z-1.014
G1 Y-5.359 Z-0.962
G1 Y-1.786 Z-0.936
G1 Y1.786
G1 Y5.359 Z-0.962
G1 Y8.933 Z-1.014
G1 Y12.506 Z-1.093
G1 Y16.079 Z-1.198
G1 Y19.653 Z-1.328
G1 Y23.226 Z-1.485
G1 Y32.288
G1 Z0.5 F800.0
G0 Z10.0
G0 X51.369 Y-35.432
G0 X52.369 Y-34.432
G0 Z0.5
G1 Z-2.255 F300.0
G1 Y-23.973 F1200.0
G1 Y-20.976 Z-2.054
G1 Y-17.98 Z-1.88
G1 Y-14.983 Z-1.733
G1 Y-11.986 Z-1.613
G1 Y-8.99 Z-1.52
G1 Y-5.993 Z-1.453
G1 Y-2.997 Z-1.413
G1 Y0.0 Z-1.4
G1 Y2.997 Z-1.413
G1 Y5.993 Z-1.453
G1 Y8.99 Z-1.52
G1 Y11.986 Z-1.613
G1 Y14.983 Z-1.733
G1 Y17.98 Z-1.88
G1 Y20.976 Z-2.054
G1 Y23.973 Z-2.255
G1 Y34.432
G1 Z0.5 F800.0
G0 Z10.0
(fret 3, bass side first)
G0 X75.37 Y-30.859
G0 X76.37 Y-29.859
G0 Z0.5
G1 Z-0.742 F300.0
G1 Y-22.822 F1200.0
G1 Y-17.75 Z-0.633
G1 Y-12.678 Z-0.551
G1 Y-7.607 Z-0.497
G1 Y-2.536 Z-0.47
G1 Y2.536
G1 Y7.607 Z-0.497
G1 Y12.678 Z-0.551
G1 Y17.75 Z-0.633
G1 Y22.822 Z-0.742
G1 Y29.859
G1 Z0.5 F800.0
G0 Z10.0
G0 X75.37 Y-33.675
G0 X76.37 Y-32.675
G0 Z0.5
G1 Z-1.503 F300.0
G1 Y-23.583 F1200.0
G1 Y-19.954 Z-1.341
G1 Y-16.326 Z-1.206
G1 Y-12.698 Z-1.098
G1 Y-9.07 Z-1.017
G1 Y-5.442 Z-0.963
G1 Y-1.814 Z-0.936
G1 Y1.814
G1 Y5.442 Z-0.963
G1 Y9.07 Z-1.017
G1 Y12.698 Z-1.098
G1 Y16.326 Z-1.206
G1 Y19.954 Z-1.341
G1 Y23.583 Z-1.503
G1 Y32.675
G1 Z0.5 F800.0
G0 Z10.0
G0 X75.37 Y-35.832
G0 X76.37 Y-34.832
G0 Z0.5
G1 Z-2.282 F300.0
G1 Y-24.341 F1200.0
G1 Y-21.298 Z-2.075
G1 Y-18.255 Z-1.895
G1 Y-15.213 Z-1.744
G1 Y-12.17 Z-1.62
G1 Y-9.128 Z-1.523
G1 Y-6.085 Z-1.455
G1 Y-3.043 Z-1.413
G1 Y0.0 Z-1.4
G1 Y3.043 Z-1.413
G1 Y6.085 Z-1.455
G1 Y9.128 Z-1.523
G1 Y12.17 Z-1.62
G1 Y15.213 Z-1.744
G1 Y18.255 Z-1.895
G1 Y21.298 Z-2.075
G1 Y24.341 Z-2.282
G1 Y34.832
G1 Z0.5 F800.0
G0 Z10.0
M5
M2
