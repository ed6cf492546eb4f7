"""Plain RS-274 text for one machine profile."""
