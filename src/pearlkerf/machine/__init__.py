"""What the shop has: travel, what its controller understands, cutters and cutting figures."""
