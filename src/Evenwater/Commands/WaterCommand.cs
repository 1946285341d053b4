using System.CommandLine;
using Evenwater.Water;

namespace Evenwater.Commands;

/// <summary>evenwater water: the water science's functions by name, and the published values that they are held against.</summary>
internal static class WaterCommand
{
    public static Command Create()
    {
        var function = new Argument<string?>("FUNCTION") { Description = "such as PracticalSalinity.Of; without one, all are told with their inputs", Arity = ArgumentArity.ZeroOrOne };
        var inputs = new Argument<string[]>("INPUT") { Description = "in the order that is told, units as in their names; negative ones after --" };
        var checks = new Option<bool>("--checks") { Description = "compare every function with published values; exit code 1 when one is missed" };
        var command = new Command("water", "Water science by name: salinity, ammonia, oxygen, pH, flow; and the published values it is checked against.") { function, inputs, checks };
        command.SetAction(parse =>
        {
            var output = parse.InvocationConfiguration.Output;
            if (parse.GetValue(checks)) return Check(output, WaterCheck.All);
            return parse.GetValue(function) is { } name ? Ask(output, parse.InvocationConfiguration.Error, name, parse.GetValue(inputs) ?? []) : List(output);
        });
        return command;
    }

    /// <summary>Every check with the source's value, ours, the difference and what is allowed.</summary>
    public static int Check(TextWriter output, IReadOnlyList<WaterCheck> checks)
    {
        var outcomes = checks.Select(check => check.Run()).ToList();
        var widest = checks.Max(check => check.Function.Length + check.Inputs.Length + 1);
        foreach (var outcome in outcomes)
        {
            var check = outcome.Check;
            var ours = outcome.Ours is { } number ? number.ToString("G8") : WaterCheck.Refused;
            var off = outcome.Difference is { } difference ? $"differs {difference,9:0.0E+0} of {check.Allowed,7:0.0E+0}" : new string(' ', 28);
            output.WriteLine($"{(outcome.Met ? "met   " : "MISSED")} {$"{check.Function} {check.Inputs}".PadRight(widest)} source {check.Expected,10}  ours {ours,10}  {off}  {check.Provenance}: {check.Source}");
        }

        var missed = outcomes.Count(outcome => !outcome.Met);
        output.WriteLine($"{outcomes.Count} checks, {missed} missed.");
        return missed == 0 ? Exit.Fine : Exit.Bad;
    }

    private static int List(TextWriter output)
    {
        foreach (var function in WaterFunction.All.Where(function => !function.IsConstant)) output.WriteLine($"{function.Name} {string.Join(' ', function.Inputs)}");
        output.WriteLine();
        output.WriteLine("For example: evenwater water PracticalSalinity.Of 53 25");
        return Exit.Fine;
    }

    private static int Ask(TextWriter output, TextWriter error, string name, string[] inputs)
    {
        if (WaterFunction.Find(name) is not { } function)
        {
            error.WriteLine($"{name}: no such function. `evenwater water` alone tells them all.");
            return Exit.WrongUse;
        }

        try
        {
            foreach (var (part, value) in WaterFunction.Numbers(function.Ask(inputs)))
            {
                output.WriteLine($"{(part.Length == 0 ? function.Name : part)} {value.ToString("G7")}");
            }

            if (function.Outside(inputs) is { } outside)
            {
                error.WriteLine($"{outside}: outside what this was published for; the formula is held or carried on there. Do not lean on the figure.");
            }

            return Exit.Fine;
        }
        catch (Exception wrong) when (wrong is FormatException or ArgumentOutOfRangeException)
        {
            error.WriteLine(wrong is ArgumentOutOfRangeException { ParamName: { } input, ActualValue: { } value }
                ? $"{input} = {value}. {wrong.Message.Split(" (Parameter")[0]}"
                : wrong.Message.ReplaceLineEndings(" "));
            return Exit.WrongUse;
        }
    }
}
