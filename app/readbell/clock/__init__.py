"""The only place that reads a clock or waits for one."""
