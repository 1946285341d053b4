using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;

namespace Evenwater.Commands;

/// <summary>Wrong words on the command line, told as everything wrong is: the key, the value, what is allowed.</summary>
internal static class Mistakes
{
    private const string Numbers = "not a number. Write it with a point and without any comma, such as 2.5.";

    /// <summary>What names a file or a folder.</summary>
    private static readonly string[] Places = ["--out", "--log", "--config", "--picture", "--forecasts", "--csv", "--trace", "--review", "--photo", "FILE", "DIR"];

    /// <summary>What is wrong with the words, a line each; none when they are understood.</summary>
    public static IReadOnlyList<string> Of(ParseResult parsed)
    {
        if (parsed.Errors.Count > 0 && parsed.UnmatchedTokens.Count > 0) return [$"'{string.Join(' ', parsed.UnmatchedTokens)}' is not understood."];
        var errors = parsed.Errors.Select(Words).ToList();
        return errors.Count > 0 ? errors : [.. NoNumbers(parsed.CommandResult), .. Nameless(parsed.CommandResult)];
    }

    private static string Words(ParseError error)
    {
        if (Given(error.SymbolResult) is not { } given) return error.Message;
        if (given.Typed.Count == 0) return $"{Command(error.SymbolResult)}: {given.Name} is missing: {given.About}.";
        return error.Message.StartsWith("Cannot parse", StringComparison.Ordinal) && Kind(given.Type) is { } kind ? $"{given.Name} = {given.Typed[^1].Value}: {kind}" : error.Message;
    }

    /// <summary>
    /// The library reads "2,5" as twenty-five, as if the comma stood between thousands; half the world writes two and a half so. It reads "NaN" and "1e999" too, which are neither above nor below any limit.
    /// </summary>
    private static IEnumerable<string> NoNumbers(CommandResult command) =>
        from child in command.Children
        let given = child is OptionResult or ArgumentResult ? Given(child) : null
        where given is { } known && Plain(known.Type) == typeof(double)
        from token in given!.Value.Typed
        where token.Value.Contains(',', StringComparison.Ordinal) || (double.TryParse(token.Value, CultureInfo.InvariantCulture, out var number) && !double.IsFinite(number))
        select $"{given.Value.Name} = {token.Value}: {Numbers}";

    /// <summary>A shell's variable that was never set leaves an empty word, which names nothing.</summary>
    private static IEnumerable<string> Nameless(CommandResult command) =>
        from child in command.Children
        let given = child is OptionResult or ArgumentResult ? Given(child) : null
        where given is { } known && Places.Contains(known.Name) && known.Typed.Any(token => token.Value.Length == 0)
        select $"{given.Value.Name} is empty: {given.Value.About}.";

    private static (string Name, string? About, Type Type, IReadOnlyList<Token> Typed)? Given(SymbolResult? result) => result switch
    {
        OptionResult option => (option.Option.Name, option.Option.Description, option.Option.ValueType, option.Tokens),
        ArgumentResult { Parent: OptionResult option } => (option.Option.Name, option.Option.Description, option.Option.ValueType, result.Tokens),
        ArgumentResult argument => (argument.Argument.Name.ToUpperInvariant(), argument.Argument.Description, argument.Argument.ValueType, result.Tokens),
        _ => null,
    };

    private static string? Command(SymbolResult? result) => result switch
    {
        CommandResult command => command.Command.Name,
        null => null,
        _ => Command(result.Parent),
    };

    private static string? Kind(Type type) => Type.GetTypeCode(Plain(type)) switch
    {
        TypeCode.Double => Numbers,
        TypeCode.Int32 or TypeCode.Int64 => "not a whole number, such as 3.",
        TypeCode.UInt64 => "not a whole number, 0 or more.",
        _ => null,
    };

    private static Type Plain(Type type) => type.GetElementType() ?? Nullable.GetUnderlyingType(type) ?? type;
}
