"""From a short description of a fingerboard to proved RS-274 programs."""
