namespace Evenwater.Page;

/// <summary>The log in one line: its size, what is free, what it writes; null when its file can not be read.</summary>
internal delegate string? TellLog();
