using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text.Json;
using System.Text.Json.Nodes;
using Evenwater.Core.Stations;

namespace Evenwater.Tests.Contract;

/// <summary>The keys of a station file by their whole paths, as the schema has them and as the program reads them.</summary>
internal static class StationKeys
{
    public static bool IsRequired(PropertyInfo property) => property.GetCustomAttribute<RequiredMemberAttribute>() is not null || property.DeclaringType!.IsValueType;

    public static Dictionary<string, JsonObject> Of(JsonObject schema, string path, Dictionary<string, JsonObject> found)
    {
        foreach (var (name, told) in (schema["items"] ?? schema)["properties"]?.AsObject() ?? [])
        {
            found.Add(path + name, told!.AsObject());
            Of(told!.AsObject(), $"{path}{name}.", found);
        }

        return found;
    }

    public static Dictionary<string, PropertyInfo> Of(Type type, string path, Dictionary<string, PropertyInfo> found)
    {
        foreach (var property in type.GetProperties().Where(p => p.CanWrite))
        {
            var key = path + JsonNamingPolicy.CamelCase.ConvertName(property.Name);
            found.Add(key, property);
            var inner = property.PropertyType.IsGenericType ? property.PropertyType.GetGenericArguments()[0] : property.PropertyType;
            if (inner.Assembly == typeof(Station).Assembly && !inner.IsEnum) Of(inner, $"{key}.", found);
        }

        return found;
    }
}
