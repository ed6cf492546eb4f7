(Pearlkerf, golden, edge setup, file 2-edge-cutter-3.nc)
(cutter 3, brad point 2.000 mm, 6300 rpm, feed 126, plunge 126 mm/min, 1.000 mm)
(- a pass, deepest 3.80 mm below zero)
(X0 at the nut corner of the edge, Y0 on the glue face, Z0 on the edge)
(zero is set in G54)
(bass edge up and level, nut end at the left, playing face away from the)
(- operator)
(standing on its treble edge the board is packed up 2.50 mm at the nut end)
(the bridge end is so much wider, unpacked the edge would lean by 1.59 degrees)
(the places of the first and of the last dot touch off within 0.1 mm of each)
(- other)
(the board stands 44.5 mm tall, hold it against a square fence)
(corners may be rounded by the controller)
(dry run of the edge setup, its pointing run, written with --pointing, spindle)
(- off, 1 stops, 1 min of moves)
(after the dry run, cut the first slot or hole in scrap)
(board, Harbour Lane short trial board)
(machine profile workshop-cycles, blocks and notes in mm)
(before this, 1-face-cutters-1-5.nc)
(this is the last program of the job)
(Dust harms the lungs, extract it and wear a mask made for it)
(Guards closed, eyes and ears covered, no gloves, a hand on the stop)
(Clamps clear of every move, jog above the highest of them first)
(Spindle stopped and disconnected before cutters are changed by hand)
(Local rules, machine manuals and licensed practice come first)
G21
G17 G90 G94 G54
G80
(setup=edge cutter=3 cuts=side dots 3)
G0 Z10.0
S6300 M3
G4 P5.0
(side dot 3)
G0 X63.3754 Y1.5063
G0 X64.3754 Y2.5063
G0 Z0.5
G99 G83 X64.3754 Y2.5063 Z-3.8 R0.5 Q1.0 F126.0
G80
G0 Z10.0
M5
M2
