using System.Globalization;
using Evenwater.Core.Stations;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Journal;

/// <summary>A form as it was typed: gives values, and collects what was not taken, by field.</summary>
/// <param name="fields">What was typed.</param>
internal sealed class TypedForm(IReadOnlyDictionary<string, string> fields)
{
    private readonly List<FieldRefusal> _refused = [];

    /// <summary>What was typed.</summary>
    public IReadOnlyDictionary<string, string> Fields => fields;

    /// <summary>What was not taken so far.</summary>
    public IReadOnlyList<FieldRefusal> Refused => _refused;

    /// <summary>Of a request: the first value of each field, at most so much as a form of ours can hold.</summary>
    public static async Task<TypedForm> Read(HttpContext http)
    {
        if (!http.Request.HasFormContentType) return new TypedForm(new Dictionary<string, string>());
        var form = await http.Request.ReadFormAsync(http.RequestAborted);
        return new TypedForm(form.ToDictionary(field => field.Key, field => field.Value.ToString().ReplaceLineEndings("\n")));
    }

    /// <summary>Of the address.</summary>
    public static TypedForm Of(IQueryCollection query) => new(query.ToDictionary(field => field.Key, field => field.Value.ToString()));

    /// <summary>What was typed, without the space around it; null for nothing.</summary>
    public string? Text(string field) => fields.TryGetValue(field, out var typed) && typed.Trim() is { Length: > 0 } text ? text : null;

    /// <summary>A number; null when nothing was typed, or what was is none, which is then refused.</summary>
    public double? Number(string field, string allowed)
    {
        if (Text(field) is not { } text) return null;
        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) && double.IsFinite(number)) return number;
        Refuse(field, allowed, "Write it in figures, with a point for parts, such as 2.5.");
        return null;
    }

    /// <summary>A whole number; as <see cref="Number"/>.</summary>
    public int? Count(string field, string allowed)
    {
        if (Number(field, allowed) is not { } number) return null;
        if (number == Math.Floor(number) && Math.Abs(number) <= int.MaxValue) return (int)number;
        Refuse(field, allowed, "Count whole ones.");
        return null;
    }

    /// <summary>Does not take what was typed.</summary>
    public void Refuse(string field, string allowed, string? advice) => _refused.Add(new FieldRefusal(field, fields.GetValueOrDefault(field, "").Trim(), allowed, advice));

    /// <summary>Does not take it for what a rule says. A rule's value stands in quotes where it is text.</summary>
    public void Refuse(Problem problem, Func<string, string> field)
    {
        var name = field(problem.Key);
        var value = fields.TryGetValue(name, out var typed) ? typed.Trim() : problem.Value is "not given" or "\"\"" ? "" : problem.Value.Trim('"');
        if (!_refused.Any(refused => refused.Field == name)) _refused.Add(new FieldRefusal(name, value, problem.Allowed, problem.Advice));
    }
}
