using System.Globalization;

namespace Evenwater.Core.Telling;

/// <summary>A value that is beyond a limit, and the limit, told with so many digits that the one does not read like the other.</summary>
/// <param name="Value">The value.</param>
/// <param name="Limit">The limit.</param>
public readonly record struct Beyond(string Value, string Limit)
{
    /// <summary>More digits tell nothing.</summary>
    private const int MostDecimals = 6;

    /// <summary>In as few digits as tell them apart.</summary>
    /// <param name="value">The value.</param>
    /// <param name="limit">What it is beyond.</param>
    /// <param name="form">How both are told where that tells them apart, such as "0.0".</param>
    /// <param name="limitForm">How the limit is told then; as the value, if null.</param>
    public static Beyond Of(double value, double limit, string form, string? limitForm = null)
    {
        ArgumentNullException.ThrowIfNull(form);
        var more = form;
        for (var decimals = Math.Max(1, form.Length - 1); value != limit && decimals <= MostDecimals && Text(value, more) == Text(limit, more); decimals++)
        {
            more = $"0.{new string('0', decimals)}";
        }

        return new(Text(value, more), Text(limit, more == form ? limitForm ?? form : more));
    }

    private static string Text(double value, string form) => value.ToString(form, CultureInfo.InvariantCulture);
}
